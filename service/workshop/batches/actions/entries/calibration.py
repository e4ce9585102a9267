"""Equipment used after its calibration had lapsed: told each time, opened once a batch and day."""

from collections.abc import Iterable

from service.office.equipment import queries as equipment
from service.workshop.batches.actions.entries.desk import Desk
from service.workshop.deviations import queries as deviations
from service.workshop.deviations.bodies import Flag

LAPSED = "calibration-lapsed"


def check_calibration(desk: Desk, codes: Iterable[str | None], *, line: int | None = None) -> None:
    """Flag what was used on a day after the one that its calibration lasts until."""
    used = {code for code in codes if code is not None}
    for code, piece in sorted(equipment.by_codes(desk.session, used).items()):
        until = piece.calibrated_until
        if until is None or desk.day <= until:
            continue
        text = f"{code} was calibrated until {until}, and was used on {desk.day}."
        if any(flag.text == text for flag in desk.flags):
            continue
        held = deviations.every(desk.session, desk.batch.code)
        before = next((one for one in held if (one.code, one.text) == (LAPSED, text)), None)
        if before is None:
            desk.deviate(LAPSED, text, line)
        else:
            desk.flags.append(Flag(code=LAPSED, text=text, line=line, opens=before.number))
