"""The refusals of the science, each with a slug, what was wrong and what to send instead."""


class ScienceError(ValueError):
    """A number or a unit that the science cannot answer for.

    `code` is a kebab-case slug, `message` says what was wrong, `hint` what to send instead;
    `field` names the parameter that is to blame, with steps into a list as in `oils/0/mass_g`.
    """

    code: str = "science-refused"

    def __init__(
        self, message: str, hint: str, *, code: str | None = None, field: str = ""
    ) -> None:
        super().__init__(message)
        self.field = field
        self.message = message
        self.hint = hint
        if code is not None:
            self.code = code

    def __str__(self) -> str:
        return f"{self.message}; {self.hint}"


class NumberMalformed(ScienceError):
    """The text is not a plain decimal number."""

    code = "number-malformed"


class UnitUnknown(ScienceError):
    """The unit is missing, or its spelling stands in no table."""

    code = "unit-unknown"


class UnitAmbiguous(ScienceError):
    """The spelling names two units, so a guess would be a wrong weighing."""

    code = "unit-ambiguous"


class WrongDimension(ScienceError):
    """The unit is known, but measures something else than what was asked."""

    code = "wrong-dimension"


class OutOfRange(ScienceError):
    """The value lies outside the range in which the rule holds."""

    code = "out-of-range"


class NotApplicable(ScienceError):
    """The question has no answer for these inputs, and the message says why."""

    code = "not-applicable"
