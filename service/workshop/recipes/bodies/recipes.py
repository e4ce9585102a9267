"""Bodies of recipes."""

from pydantic import Field

from service.web.fields import Code, In, Out, Short, Utc, Written
from service.workshop.recipes.bodies.versions import VersionIn, VersionOut


class RecipeIn(VersionIn):
    code: Code
    makes: Code | None = Field(default=None, description="A material; where absent, the code.")
    name: Short | None = Field(default=None, description="Where absent, the material's.")


class RecipePatch(In):
    name: Short = ""
    archived: bool = False


class RecipeOut(Out):
    code: str
    name: str
    makes: str
    approved: int | None = Field(description="The version that is used where none is named.")
    newest: int
    created_at: Utc
    archived_at: Utc | None


class RecipeMade(RecipeOut, Written):
    version: VersionOut
