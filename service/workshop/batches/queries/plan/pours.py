"""How hot a pot may be when a solvent goes in that no line of the sheet plans."""

from decimal import Decimal

from service.science.rounding import plain
from service.store.session import ReadSession
from service.workshop.batches.bodies.plans import Caution
from service.workshop.batches.rules import ETHANOL_CAS, Solvent, pour
from service.workshop.materials import queries as materials

_RULE = "solvent-into-hot-varnish"


def is_solvent(session: ReadSession, material: str) -> bool:
    return materials.material(session, material).family == "solvent"


def solvent_limit(session: ReadSession, material: str, lot: str | None) -> Decimal | None:
    """The hottest that a pot may be for a solvent by its own figures, the lot's before the
    material's; None where they are not known."""
    chain = (("lot", lot), ("material", material))
    boils = materials.figure(session, "boiling_point", *chain)
    if boils is None:
        return None
    ignites = materials.figure(session, "autoignition", *chain)
    found = pour(
        Solvent(
            material=material,
            boiling_c=boils.value,
            boiling_figure=boils.number,
            autoignition_c=ignites.value if ignites else None,
            autoignition_figure=ignites.number if ignites else None,
            ethanol=materials.material(session, material).cas == ETHANOL_CAS,
        )
    )
    return None if found is None else found.limit_c


def solvent_caution(session: ReadSession, material: str, lot: str | None) -> Caution:
    """What is said beside a solvent that is to go in; without a limit, what is missing."""
    limit = solvent_limit(session, material, lot)
    if limit is None:
        how = (
            "How hot the pot may be is undecided: the initial boiling point of "
            f"{material} is not known."
        )
        return Caution(text=f"Off the heat, no flame. {how}", rule=_RULE)
    return Caution(text=f"Off the heat, no flame, {plain(limit)} °C or below.", rule=_RULE)
