"""Bodies of the recipes slice, by noun."""

from service.workshop.recipes.bodies.amounts import Loss as Loss
from service.workshop.recipes.bodies.recipes import RecipeIn as RecipeIn
from service.workshop.recipes.bodies.recipes import RecipeMade as RecipeMade
from service.workshop.recipes.bodies.recipes import RecipeOut as RecipeOut
from service.workshop.recipes.bodies.recipes import RecipePatch as RecipePatch
from service.workshop.recipes.bodies.versions import ApprovalIn as ApprovalIn
from service.workshop.recipes.bodies.versions import NotApplicableOut as NotApplicableOut
from service.workshop.recipes.bodies.versions import RetirementIn as RetirementIn
from service.workshop.recipes.bodies.versions import Undecided as Undecided
from service.workshop.recipes.bodies.versions import VersionBrief as VersionBrief
from service.workshop.recipes.bodies.versions import VersionIn as VersionIn
from service.workshop.recipes.bodies.versions import VersionMade as VersionMade
from service.workshop.recipes.bodies.versions import VersionOut as VersionOut
from service.workshop.recipes.rules import MOST_LINES as MOST_LINES
