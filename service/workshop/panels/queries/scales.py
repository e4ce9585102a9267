"""What is read of rating scales."""

from collections.abc import Iterable

from sqlmodel import col, select

from service.errors import Invalid, at
from service.store import named
from service.store.lists import Listing
from service.store.session import ReadSession
from service.workshop.panels._tables import RatingScale, ScaleValue
from service.workshop.panels.bodies.protocols import RatingScaleOut, ScaleValueOut
from service.workshop.panels.rules import UnknownScale

SCALES = Listing(
    "rating-scales", RatingScale, sorts=("code", "name", "created_at"), default_sort="code"
)


def scale(session: ReadSession, code: str) -> RatingScale:
    """Raises UnknownScale."""
    return named.get(session, RatingScale, code, missing=UnknownScale)


def scales(session: ReadSession, codes: Iterable[str | None]) -> dict[str, RatingScale]:
    """Scales by code, in one query."""
    wanted = {code for code in codes if code}
    rows = session.exec(select(RatingScale).where(col(RatingScale.code).in_(wanted)))
    return {row.code: row for row in rows}


def scale_in_body(session: ReadSession, code: str, *, pointer: str) -> RatingScale:
    """A scale named in a body. Raises Invalid at its pointer."""
    if (row := named.find(session, RatingScale, code)) is None:
        wrong = f"There is no rating scale {code}."
        hint = "Make it first: POST /v1/rating-scales, or look at its spelling."
        raise Invalid(wrong, at(pointer, wrong, "rating-scale-unknown", hint=hint))
    return row


def values_of(session: ReadSession, codes: Iterable[str | None]) -> dict[str, list[ScaleValue]]:
    """The values of scales by code, the best first, in one query."""
    wanted = {code for code in codes if code}
    rows = session.exec(
        select(ScaleValue).where(col(ScaleValue.scale).in_(wanted)).order_by(col(ScaleValue.rank))
    )
    found: dict[str, list[ScaleValue]] = {code: [] for code in wanted}
    for row in rows:
        found[row.scale].append(row)
    return found


def shown_scale(session: ReadSession, row: RatingScale) -> RatingScaleOut:
    values = values_of(session, [row.code])[row.code]
    return RatingScaleOut(
        code=row.code,
        name=row.name,
        best=row.best,
        worst=row.worst,
        values=[ScaleValueOut(value=v.value, rank=v.rank, text=v.text) for v in values],
        source=row.source,
        created_at=row.created_at,
    )
