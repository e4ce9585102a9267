"""Corrections over HTTP: one form for every recorded entry."""

from typing import Any, ClassVar

from pydantic import Field, model_validator

from service.web.fields import Code, In, Line, Out, refusal


class CorrectionIn(In):
    """Either what replaces the entry (`replaces`, which each kind declares), or `void`; always
    with the reason."""

    void: bool = False
    reason: Line
    by: Code | None = None

    @model_validator(mode="after")
    def _one_of_two(self) -> "CorrectionIn":
        if self.void == (getattr(self, "replaces", None) is not None):
            raise refusal("one-of-two", "A correction replaces or voids: send one of the two.")
        return self


class ReplacementIn(In):
    """What the entry should have said; what is absent stays as it was."""

    needed: ClassVar[frozenset[str]] = frozenset()  # what no entry of the kind can do without

    @model_validator(mode="after")
    def _something(self) -> "ReplacementIn":
        if not self.model_fields_set:
            there = ", ".join(
                field.alias or name for name, field in type(self).model_fields.items()
            )
            raise refusal("nothing-replaced", "Nothing is replaced.", f"Send any of: {there}.")
        for name in sorted(self.needed & self.model_fields_set):
            if getattr(self, name) is None:
                hint = "Leave it out where it was right, or void the entry."
                raise refusal(
                    "value-needed", "The entry cannot be without it.", hint, below=(name,)
                )
        return self

    def changed(self) -> dict[str, Any]:
        """The values that were sent, by name."""
        return {name: getattr(self, name) for name in self.model_fields_set}


class Traced(Out):
    """How an entry stands among its corrections."""

    corrects: int | None = Field(description="The entry that this one corrects.")
    corrected_by: int | None = Field(description="The entry that corrects this one.")
    void: bool
    reason: str | None = Field(description="Why it was corrected.")
