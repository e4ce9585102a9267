"""What a fill is of, when not all is said: product, pack, packaging lots, tare and density."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from service.errors import Invalid, Remedy, at
from service.science.densities import plausible_density
from service.science.errors import ScienceError
from service.store.session import WriteSession
from service.web.amounts import whole
from service.workshop.lots.bodies import FillIn
from service.workshop.lots.rules import DensityNeeded
from service.workshop.materials.actions import record_figures
from service.workshop.materials.queries import figure, material
from service.workshop.products import queries as products
from service.workshop.products.queries import Pack, Product
from service.workshop.recipes.queries import recipe, recipes_of_material
from service.workshop.stock import queries as stock
from service.workshop.stock.queries import Lot

_MOST_REMEDIES = 5


@dataclass(frozen=True, slots=True)
class Density:
    """A density in kg/l, the number of the figure that says so, and at what temperature."""

    kg_l: Decimal
    figure: str
    temperature_c: Decimal | None


def choose_product(session: WriteSession, bulk: Lot, wanted: FillIn) -> Product:
    """The product named, or the only one that this lot's material is sold as. Raises Invalid."""
    if wanted.product is not None:
        row = products.named_in_body(session, wanted.product, pointer="#/product")
        if recipe(session, row.recipe).makes == bulk.material:
            return row
        wrong = f"{row.code} is not made of {bulk.material}, which {bulk.number} is."
        raise _which_product(wrong, "wrong-product", _products(session, bulk))
    known = _products(session, bulk)
    if len(known) == 1:
        return known[0]
    wrong = f"{bulk.material} is sold as {len(known) or 'no'} products; the fill must name one."
    raise _which_product(wrong, "product-needed", known)


def _products(session: WriteSession, bulk: Lot) -> list[Product]:
    if bulk.product is not None:
        return [products.product(session, bulk.product)]
    made_by = recipes_of_material(session, bulk.material)
    return [row for held in made_by for row in products.products_of_recipe(session, held.code)]


def _which_product(wrong: str, code: str, known: list[Product]) -> Invalid:
    remedies = tuple(
        Remedy(f"it is {row.code}", {"product": row.code}) for row in known[:_MOST_REMEDIES]
    )
    hint = 'Send "product".' if known else "Make it first: POST /v1/products."
    return Invalid(wrong, at("#/product", wrong, code, hint=hint, remedies=remedies))


def choose_pack(session: WriteSession, product: Product, name: str) -> Pack:
    """The pack of a product by its name. Raises Invalid, with a remedy for each there is."""
    known = products.packs(session, product.code)
    for row in known:
        if row.pack == name.upper():
            return row
    wrong = f"{product.code} has no pack {name!r}."
    remedies = tuple(
        Remedy(f"it is {row.pack}", {"pack": row.pack}) for row in known[:_MOST_REMEDIES]
    )
    raise Invalid(wrong, at("#/pack", wrong, "pack-unknown", remedies=remedies))


def choose_packaging(
    session: WriteSession, code: str, given: str | None, *, field: str, count: int
) -> Lot:
    """The lot of jars or lids named, or the only open one of the pack's. Raises Invalid."""
    if given is not None:
        lot = stock.lot_in_body(session, given, pointer=f"#/{field}")
        if lot.material == code:
            return lot
        wrong = f"{lot.number} is {lot.material}; the pack takes {code}."
        raise _which_lot(session, wrong, code, field=field, count=count)
    known = stock.open_lots(session, code)
    if len(known) == 1:
        return known[0].lot
    wrong = f"{len(known) or 'No'} lots of {code} are open; the fill must name the one it took."
    raise _which_lot(session, wrong, code, field=field, count=count)


def _which_lot(session: WriteSession, wrong: str, code: str, *, field: str, count: int) -> Invalid:
    remedies = other_lots(session, code, field=field, count=count)
    hint = f'Send "{field}".' if remedies else f"Record where {code} came from: POST /v1/receipts."
    return Invalid(wrong, at(f"#/{field}", wrong, "lot-needed", hint=hint, remedies=remedies))


def other_lots(
    session: WriteSession, code: str, *, field: str, count: int, but: Lot | None = None
) -> tuple[Remedy, ...]:
    """A remedy for each open lot of a packaging material that holds enough."""
    enough = [
        held
        for held in stock.open_lots(session, code)
        if held.left >= count and (but is None or held.lot.id != but.id)
    ]
    return tuple(
        Remedy(f"they came from {held.lot.number} ({held.left} left)", {field: held.lot.number})
        for held in enough[:_MOST_REMEDIES]
    )


def choose_tare(session: WriteSession, pack: Pack, wanted: FillIn) -> int:
    """What an empty pack weighs, in mg; 0 where nothing was weighed. Raises Invalid."""
    given = whole(wanted.tare) if wanted.tare else material(session, pack.container).tare_mg
    if given is not None:
        return given
    if not wanted.gross_g:
        return 0
    wrong = f"What an empty {pack.container} weighs is not known."
    hint = (
        'Send "tare": "151 g", or state it once for all fills: '
        f"PATCH /v1/materials/{pack.container}."
    )
    remedy = Remedy(
        "no empty one can be weighed any more",
        {"gross_g": None, "count": wanted.packs},
        "The fill is kept as not checked and opens a deviation.",
    )
    raise Invalid(wrong, at("#/tare", wrong, "tare-missing", hint=hint, remedies=(remedy,)))


def choose_density(session: WriteSession, bulk: Lot, wanted: FillIn, *, by: str | None) -> Density:
    """The lot's own density; one sent with the fill becomes it. Raises DensityNeeded, Invalid."""
    subject = ("lot", bulk.number)
    if wanted.density is not None:
        row = record_figures(session, subject, {"density": wanted.density}, by=by)[0]
    elif (held := figure(session, "density", subject)) is not None:
        row = held
    else:
        raise _density_needed(session, bulk)
    try:
        plausible_density(row.value)
    except ScienceError as error:
        wrong = f"{row.number}: {error.message}."
        hint = f"Correct it: POST /v1/figures/{row.number}/corrections."
        raise Invalid(wrong, at("#/density", wrong, error.code, hint=hint)) from None
    return Density(row.value, row.number, row.temperature_c)


def _density_needed(session: WriteSession, bulk: Lot) -> DensityNeeded:
    wrong = f"No density of {bulk.number} is recorded, and packs are sold by volume."
    hint = (
        f"Measure it: POST /v1/lots/{bulk.number}/readings "
        '{"rows": {"density": "0.897 kg/l"}, "methods": {"density": "pyknometer"}}.'
    )
    remedies = tuple(
        Remedy(f"it is as {said}", {"density": value}, "Kept as the lot's figure, on this basis.")
        for said, value in _likely_density(session, bulk)
    )
    return DensityNeeded(
        wrong, at("#/density", wrong, "density-needed", hint=hint, remedies=remedies)
    )


def _likely_density(session: WriteSession, bulk: Lot) -> list[tuple[str, dict[str, Any]]]:
    """The density of the material, or else of the newest lot of it that has one."""
    earlier = stock.lots_of_material(session, bulk.material, "made")
    subjects = [("material", bulk.material), *(("lot", lot.number) for lot in earlier)]
    row = figure(session, "density", *subjects)
    if row is None:
        return []
    said = f"that of {row.subject} ({row.number})"
    value = {
        "value": f"{row.entered_value} {row.entered_unit}",
        "basis": "calculated",
        "method": f"taken as that of {row.subject}, figure {row.number}",
    }
    return [(said, value)]
