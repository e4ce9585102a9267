"""What changes with products."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from sqlalchemy.orm.attributes import flag_modified

from service.errors import Fault, InUse, Invalid, Remedy, at
from service.office.workshop_card.queries import card
from service.science import units
from service.science.errors import ScienceError
from service.store import named
from service.store.session import WriteSession
from service.web.amounts import litres, whole
from service.web.etags import Condition
from service.workshop.materials.actions import record_figures
from service.workshop.materials.queries import by_codes
from service.workshop.products import queries
from service.workshop.products._tables import Pack, Product, ProductText
from service.workshop.products.bodies import PackIn, ProductIn, ProductOut, ProductPatch
from service.workshop.products.rules import PackTaken
from service.workshop.recipes.queries import find as find_recipe

_KINDS = {"container": "container", "closure": "closure", "label": "label"}
_PLAIN = ("shelf_months", "open_months")


def create_product(session: WriteSession, wanted: ProductIn) -> tuple[Product, dict[str, Any]]:
    """A product with its texts, packs and figures, and what was assumed. Raises CodeTaken,
    Invalid, PackTaken."""
    named.check_free(session, Product, wanted.code)
    _check_recipe(session, wanted.recipe)
    filled = {
        "disclosure": "nothing",
        "tell_oil_length": False,
        "markets": tuple(card(session).markets),
    }
    given = {name: getattr(wanted, name) for name in filled}
    assumed = {name: value for name, value in filled.items() if given[name] is None}
    row = Product(
        code=wanted.code,
        recipe=wanted.recipe,
        **{name: getattr(wanted, name) for name in _PLAIN},
        **{**given, **assumed},
        created_at=session.now,
    )
    session.add(row)
    session.flush()  # texts, packs and figures point at it
    assumed |= _write_texts(session, row, wanted.name, wanted.directions)
    assumed |= _add_packs(session, row, wanted.packs)
    record_figures(session, ("product", row.code), wanted.figures, by=None)
    return row, assumed


def _check_recipe(session: WriteSession, code: str) -> None:
    """Raises Invalid where there is no such recipe in use."""
    recipe = find_recipe(session, code)
    if recipe is None:
        wrong = f"There is no recipe {code}."
        hint = "Make it first: POST /v1/recipes, or look at its spelling."
        raise Invalid(wrong, at("#/recipe", wrong, "recipe-unknown", hint=hint))
    if recipe.archived_at is not None:
        wrong = f"The recipe {recipe.code} is archived."
        hint = f'Take it back into use: PATCH /v1/recipes/{recipe.code}, {{"archived": false}}.'
        raise Invalid(wrong, at("#/recipe", wrong, "recipe-archived", hint=hint))


def _write_texts(
    session: WriteSession,
    row: Product,
    name: str | Mapping[str, str] | None,
    directions: str | Mapping[str, str] | None,
) -> dict[str, Any]:
    """Write what was sent, in the workshop's first language where none is named."""
    first = card(session).languages[0]
    names = {first: name} if isinstance(name, str) else dict(name or {})
    told = {first: directions} if isinstance(directions, str) else dict(directions or {})
    held = {text.language: text for text in queries.texts(session, row.code)}
    for language in dict.fromkeys([*names, *told]):
        text = held.get(language) or _new_text(row, language, names)
        text.name = names.get(language, text.name)
        text.directions = told.get(language, text.directions)
        session.add(text)
    session.flush()  # the answer shows them
    plain = isinstance(name, str) or isinstance(directions, str)
    return {"language": first} if plain else {}


def _new_text(row: Product, language: str, names: Mapping[str, str]) -> ProductText:
    if language not in names:
        wrong = f"There are directions in {language!r}, but no name in that language."
        pointer = f"#/directions/{language}"
        hint = f'Send "name": {{"{language}": …}} beside them.'
        raise Invalid(wrong, at(pointer, wrong, "name-missing", hint=hint))
    return ProductText(product=row.code, language=language, name=names[language])


def add_pack(session: WriteSession, code: str, wanted: PackIn) -> tuple[Pack, dict[str, Any]]:
    """One more pack of a product. Raises UnknownProduct, Invalid, PackTaken."""
    row = queries.product(session, code)
    pack, assumed = _add_pack(session, row, wanted, pointer="#")
    _touch(session, row)
    return pack, assumed


def _add_packs(session: WriteSession, row: Product, wanted: list[PackIn]) -> dict[str, Any]:
    nominal: dict[str, str] = {}
    for place, pack in enumerate(wanted):
        try:
            _, assumed = _add_pack(session, row, pack, pointer=f"#/packs/{place}")
        except Invalid as error:
            error.faults = tuple(_for_all(fault, wanted, place) for fault in error.faults)
            raise
        if assumed:
            nominal[pack.pack] = assumed["nominal"]
    return {"nominal": nominal} if nominal else {}


def _for_all(fault: Fault, wanted: list[PackIn], place: int) -> Fault:
    """A merge patch replaces an array as a whole, so a remedy sends every pack again."""
    sent = [pack.as_sent() for pack in wanted]

    def for_all(remedy: Remedy) -> Remedy:
        mended = {**sent[place], **remedy.send}
        return replace(remedy, send={"packs": [*sent[:place], mended, *sent[place + 1 :]]})

    return replace(fault, remedies=tuple(for_all(remedy) for remedy in fault.remedies))


def _add_pack(
    session: WriteSession, row: Product, wanted: PackIn, *, pointer: str
) -> tuple[Pack, dict[str, Any]]:
    if any(pack.pack == wanted.pack for pack in queries.packs(session, row.code)):
        wrong = f"{row.code} already has a pack {wanted.pack}."
        raise PackTaken(wrong, at(f"{pointer}/pack", wrong, "pack-taken"))
    _check_parts(session, wanted, pointer)
    if wanted.gtin and (bearer := queries.bearer_of(session, wanted.gtin)):
        wrong = f"{bearer.product} {bearer.pack} already bears {wanted.gtin}."
        raise Invalid(wrong, at(f"{pointer}/gtin", wrong, "gtin-taken"))
    nominal = _nominal(session, wanted, pointer)
    pack = Pack(
        product=row.code,
        nominal_ul=nominal,
        **wanted.model_dump(exclude={"nominal"}),
    )
    session.add(pack)
    session.flush()  # the next one is checked against it
    return pack, {} if wanted.nominal else {"nominal": _said(nominal)}


def _check_parts(session: WriteSession, wanted: PackIn, pointer: str) -> None:
    named_parts = {name: getattr(wanted, name) for name in _KINDS if getattr(wanted, name)}
    known = by_codes(session, named_parts.values())
    for name, code in named_parts.items():
        if code not in known or known[code].kind != _KINDS[name]:
            what = f"a {known[code].kind}" if code in known else "not known"
            wrong = f"{code} is {what}; a material of the kind {name} is needed."
            hint = f'Make it: POST /v1/materials {{"code": …, "kind": "{name}"}}.'
            raise Invalid(wrong, at(f"{pointer}/{name}", wrong, f"no-{name}", hint=hint))


def _nominal(session: WriteSession, wanted: PackIn, pointer: str) -> int:
    """The nominal content in µl: as sent, else what the container holds."""
    holds = by_codes(session, [wanted.container])[wanted.container].holds_ul
    nominal = whole(wanted.nominal) or holds
    if nominal is not None and (holds is None or nominal <= holds):
        return nominal
    if holds is not None:
        raise _too_large(wanted, _said(holds), pointer)
    wrong = f"{wanted.container} does not say what it holds, so the nominal content is needed."
    hint = 'Send "nominal", or PATCH the container with what it `holds`.'
    fault = Fault(wrong, "nominal-missing", f"{pointer}/nominal", hint=hint, remedies=_read(wanted))
    raise Invalid(wrong, (fault,))


def _too_large(wanted: PackIn, holds: str, pointer: str) -> Invalid:
    wrong = f"{wanted.container} holds {holds}; {wanted.nominal} does not go in."
    remedy = Remedy(f"it is filled with {holds}", {"nominal": holds})
    return Invalid(wrong, at(f"{pointer}/nominal", wrong, "pack-too-large", remedies=(remedy,)))


def _said(content_ul: int) -> str:
    shown = litres(content_ul)
    return f"{shown.value} {shown.unit}" if shown else ""


def _read(wanted: PackIn) -> tuple[Remedy, ...]:
    """The nominal content that a pack's own name tells, as a way out."""
    try:
        told = units.parse(wanted.pack.lower(), "volume")
    except ScienceError:
        return ()
    return (Remedy(f"its nominal content is {told}", {"nominal": str(told)}),)


def _touch(session: WriteSession, row: Product) -> None:
    """Give the product its next revision though none of its own columns changed."""
    flag_modified(row, "folded")
    session.add(row)
    session.flush()  # the answer carries the new revision


def change_product(
    session: WriteSession, code: str, patch: ProductPatch, condition: Condition
) -> Product:
    """Raises UnknownProduct, PreconditionNeeded, Stale, Invalid."""
    row = queries.product(session, code)
    condition.meets(row)
    sent = {name: getattr(patch, name) for name in patch.model_fields_set}
    name, directions = sent.pop("name", None), sent.pop("directions", None)
    if "markets" in sent:
        sent["markets"] = tuple(sent["markets"])
    _write_texts(session, row, name, directions)
    flag_modified(row, "folded")
    named.change(session, row, sent)
    return row


def delete_product(session: WriteSession, code: str, condition: Condition) -> ProductOut:
    """Raises UnknownProduct, PreconditionNeeded, Stale, InUse."""
    row = queries.product(session, code)
    condition.meets(row)
    gone = queries.shown(session, row)
    if gone.figures:
        raise InUse(f"Figures are recorded of {row.code}; archive it instead.")
    for part in (*queries.texts(session, row.code), *queries.packs(session, row.code)):
        session.delete(part)
    session.flush()  # they go before the product they point at
    named.delete(session, row)
    return gone
