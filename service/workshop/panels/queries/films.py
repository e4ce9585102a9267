"""The dry film of weighed coats, calculated from what is known of the lots that were put on."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from service.science.errors import ScienceError
from service.science.film import dry_film
from service.science.rounding import plain, round_half_even
from service.science.volume_solids import volume_solids
from service.store.session import ReadSession
from service.web.fields import Figure
from service.web.footnotes import Footnotes
from service.workshop.materials.queries import by_codes, figure
from service.workshop.panels._tables import Coat
from service.workshop.stock import queries as stock
from service.workshop.stock.queries import Lot


@dataclass(frozen=True, slots=True)
class Solids:
    """Of a liquid: its non-volatile in %, and the density of its dry film in kg/l."""

    non_volatile: Decimal
    film_density: Decimal


@dataclass(frozen=True, slots=True)
class Film:
    """A dry film in µm, and how it was worked out."""

    um: Decimal
    how: str

    def figure(self, notes: Footnotes) -> Figure:
        note: dict[str, Any] = {"basis": "calculated", "how": self.how}
        note["valid"] = "theoretical: wood drinks part of the first coat, drying oils gain oxygen"
        value = plain(round_half_even(self.um, Decimal(1)))
        return Figure(value=value, unit="µm", basis="calculated", note=notes.add("film", note))


def film(session: ReadSession, coats: Sequence[Coat]) -> Film | None:
    """The film of these coats together; None where anything needed is not known."""
    if not coats or any(coat.wet_g_per_m2 is None for coat in coats):
        return None
    total, terms = Decimal(0), []
    for lot_id in dict.fromkeys(coat.lot for coat in coats):
        of_lot = [coat.wet_g_per_m2 or Decimal(0) for coat in coats if coat.lot == lot_id]
        solids = solids_of(session, stock.lot_by_id(session, lot_id))
        if solids is None:
            return None
        try:
            total += dry_film(
                sum(of_lot, Decimal(0)), solids.non_volatile, film_density_kg_l=solids.film_density
            ).dry_um
        except ScienceError:
            return None
        terms.append(_term(of_lot, solids))
    return Film(total, " + ".join(terms))


def _term(wet: Sequence[Decimal], solids: Solids) -> str:
    if len(set(wet)) == 1:
        put_on = plain(wet[0]) if len(wet) == 1 else f"{len(wet)} x {plain(wet[0])}"
    else:
        put_on = f"({' + '.join(plain(coat) for coat in wet)})"
    density = plain(round_half_even(solids.film_density, Decimal("0.01")))
    return f"{put_on} g/m2 wet x {plain(solids.non_volatile)} % / {density} kg/l"


def solids_of(session: ReadSession, lot: Lot) -> Solids | None:
    """What a lot leaves on the wood, from its density, its non-volatile and its solvents."""
    chain = stock.subject_chain(lot)
    non_volatile = figure(session, "non_volatile", *chain)
    density = figure(session, "density", *chain)
    solvent = _solvent_density(session, lot)
    if non_volatile is None or density is None or solvent is None:
        return None
    try:
        found = volume_solids(density.value, non_volatile.value, solvent_density_kg_l=solvent)
    except ScienceError:
        return None
    return Solids(non_volatile.value, found.film_density_kg_l)


def _solvent_density(session: ReadSession, lot: Lot) -> Decimal | None:
    """The density of the solvents that went in, their volumes added."""
    parents = stock.parents(session, lot.row_id)
    materials = by_codes(session, {parent.material for parent, _ in parents})
    mass = volume = Decimal(0)
    for parent, amount in parents:
        if materials[parent.material].family != "solvent":
            continue
        density = figure(session, "density", *stock.subject_chain(parent))
        if density is None or not density.value:
            return None
        mass += amount
        volume += amount / density.value
    return mass / volume if volume else None
