"""What is known of an intermediate through the version that makes it."""

from dataclasses import dataclass

from service.science.rounding import decimal_of, plain, round_significant
from service.workshop.materials.rules import properties
from service.workshop.recipes.inside.contents import by_recipe, charged_lines
from service.workshop.recipes.inside.inputs import Known
from service.workshop.recipes.inside.working import Work

THROUGH_RECIPE = {
    "non_volatile": "theoretical",
    "density": "additive volumes",
    "acid_value": "theoretical, from the acid that its metal leaves",
}


@dataclass(frozen=True, slots=True)
class Made:
    """The approved version that makes an intermediate, worked through."""

    recipe: str
    version: int
    work: Work

    @property
    def told(self) -> str:
        return f"{self.recipe}, version {self.version}"


def through_recipe(name: str, material: str, made: Made) -> Known | None:
    """One of these properties, worked out from what is in the intermediate; None where a value is
    lacking for it."""
    if made.work.done is None:
        return None
    value = by_recipe(name, made.work.done.contents, charged_lines(made.work.formula))
    if value is None:
        return None
    known = properties()[name]
    return Known(
        name=f"{known.label.lower()} of {material}",
        value=value,
        unit=known.unit,
        basis="calculated",
        shown=plain(round_significant(decimal_of(value), 4)),
        more={"how": f"{THROUGH_RECIPE[name]}, through the recipe {made.told}"},
    )
