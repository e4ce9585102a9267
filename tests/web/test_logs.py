"""What enters the log: what happened and where, never what was sent."""

import logging

import pytest
from fastapi.exceptions import ResponseValidationError

from service.web.logs import log

WRITTEN = "Mara Tidewater"


class Refusal(Exception):
    """As a database speaks: what is wrong, and below it the row."""

    def __str__(self) -> str:
        return f"null value in column\nDETAIL: Failing row contains (1, {WRITTEN}).\n"


def crash() -> None:
    try:
        raise Refusal
    except Refusal as refused:
        raise RuntimeError(f"(driver) {refused}") from refused


def logged(caplog: pytest.LogCaptureFixture, error: BaseException) -> str:
    logger = logging.getLogger("kettlemark")
    logger.addHandler(caplog.handler)
    log("crash", exception=error, request_id="0123456789abcdef")
    logger.removeHandler(caplog.handler)
    return caplog.text


def test_a_crash_is_logged_with_its_causes_and_places(caplog: pytest.LogCaptureFixture) -> None:
    with pytest.raises(RuntimeError) as told:
        crash()
    text = logged(caplog, told.value)
    assert "RuntimeError: (driver) null value in column" in text
    assert "Refusal: null value in column" in text
    assert "in crash" in text
    assert "0123456789abcdef" in text
    assert WRITTEN not in text


def test_an_answer_that_does_not_fit_is_not_shown(caplog: pytest.LogCaptureFixture) -> None:
    wrong = {"type": "int_type", "loc": ("response",), "msg": "an integer", "input": WRITTEN}
    text = logged(caplog, ResponseValidationError([wrong]))
    assert "ResponseValidationError: 1 validation error" in text
    assert WRITTEN not in text
