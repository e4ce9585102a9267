"""A sheet put together from what the record holds of a packed lot and the kettle it came from."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from service.office.workshop_card.queries import card, today
from service.science.rounding import decimal_of, plain, round_significant
from service.store.session import ReadSession
from service.web.footnotes import Footnotes
from service.workshop.labels import elements
from service.workshop.labels.contents import cautions_of, parts_of, weighed_in
from service.workshop.labels.queries import check_packed
from service.workshop.labels.rules import contents, span
from service.workshop.lots import queries as lots
from service.workshop.panels import queries as panels
from service.workshop.panels.queries import Reading
from service.workshop.products import queries as products
from service.workshop.products.queries import Product
from service.workshop.recipes.figures import absent, binder
from service.workshop.recipes.inside.composition import Composition
from service.workshop.recipes.rules import Charge
from service.workshop.sheets import observed
from service.workshop.sheets.document import (
    Calculated,
    Constant,
    Content,
    Hazards,
    LotSheet,
    NotTried,
    told,
)
from service.workshop.sheets.rules import RATIO, age, not_put_on
from service.workshop.stock.queries import Lot

_RATIO_DIGITS = 2


def public_sheet(session: ReadSession, lot: Lot, *, revision: int = 1) -> dict[str, Any]:
    """The sheet of a packed lot as it would be frozen now. Raises NotPacked."""
    return lot_sheet(session, lot, revision=revision).as_json()


def lot_sheet(session: ReadSession, lot: Lot, *, revision: int) -> LotSheet:
    """The same as plain values; what `LotSheet` has no field for is lost here."""
    check_packed(lot)
    bulk = lots.bulk_of(session, lot)
    product = products.product(session, lot.product or "")
    language = card(session).languages[0]
    name, directions = elements.told(session, product, language)
    fill = lots.fill_of(session, lot)
    rows = panels.readings_of(session, [bulk.row_id, lot.row_id])
    on_film = [row for row in rows if row.protocol and row.coats]  # bare wood is no film of it
    notes = Footnotes()
    return LotSheet(
        lot=lot.number,
        product=product.code,
        name=name,
        revision=revision,
        published_on=today(session).isoformat(),
        made_on=bulk.made_on.isoformat() if bulk.made_on else None,
        filled_on=elements.day_of(session, fill.happened_at) if fill else None,
        net=elements.net(lot),
        url=f"/l/{lot.number}",
        age=age(bulk.made_on, [(row.coats, row.age_days) for row in on_film]),
        saw=observed.seen(session, on_film, notes),
        not_tried=_not_tried(session, on_film),
        constants=(
            *observed.constants(session, (lot, bulk), notes),
            *_ratio(session, bulk, product=product, notes=notes),
        ),
        contents=_contents(session, bulk, product),
        hazards=_hazards(session, bulk, product=product, language=language),
        directions=directions,
        best_before=elements.best_before(lot, bulk, product),
        after_opening=span(product.open_months),
        notes=notes.as_json(),
    )


def _not_tried(session: ReadSession, on_film: list[Reading]) -> NotTried:
    used = panels.versions_used(on_film)
    words = panels.tests_not_tried(session, used, on_film)
    return NotTried(not_put_on(bool(used), words), tuple(words))


def oil_to_resin(session: ReadSession, bulk: Lot) -> str | None:
    """Drying oils over resins by mass as weighed in, where every part of it is known."""
    charge = [
        Charge(line, lot.material, Fraction(mg), Fraction(mg))
        for line, (lot, mg) in enumerate(weighed_in(session, bulk), 1)
    ]
    found = binder(Composition(session), charge)
    if isinstance(found, list) or absent(found):
        return None
    return plain(round_significant(decimal_of(found.ratio), _RATIO_DIGITS))


def _ratio(
    session: ReadSession, bulk: Lot, *, product: Product, notes: Footnotes
) -> tuple[Constant, ...]:
    """Oil to resin, where the product tells it."""
    value = oil_to_resin(session, bulk) if product.tell_oil_length else None
    if value is None:
        return ()
    how = "drying oils over resins, by mass as weighed in"
    return (
        Constant(
            name=RATIO,
            label="Oil to resin",
            value=value,
            unit="1",
            basis="calculated",
            note=notes.add("ratio", told(Calculated(how, bulk.number))),
            text=f"Oil to resin {value} to 1 by mass as charged (calculated)",
        ),
    )


def _contents(session: ReadSession, bulk: Lot, product: Product) -> tuple[Content, ...] | None:
    listed = contents(parts_of(session, bulk), product.disclosure)
    return None if listed is None else tuple(Content(name, share) for name, share in listed)


def contents_as_told(
    session: ReadSession, bulk: Lot, told: Sequence[Mapping[str, Any]]
) -> list[dict[str, Any]]:
    """What went in by what stands now, as far as a frozen sheet told it."""
    disclosure = "percent-ranges" if any(part["share"] for part in told) else "names"
    now = contents(parts_of(session, bulk), disclosure) or []
    return [{"name": name, "share": share} for name, share in now]


def _hazards(session: ReadSession, bulk: Lot, *, product: Product, language: str) -> Hazards:
    markets = product.markets or card(session).markets
    return Hazards(
        market=markets[0] if markets else None,
        language=language,
        cautions=tuple(called.caution.text for called in cautions_of(session, bulk)),
    )
