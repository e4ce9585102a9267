"""Bodies of the people desk."""

from service.web.fields import Code, In, Out, Short, Utc, Written


class PersonIn(In):
    code: Code
    name: Short | None = None
    role: Short | None = None


class PersonPatch(In):
    name: Short | None = None
    role: Short | None = None
    archived: bool = False


class PersonOut(Out):
    code: str
    name: str | None
    role: str | None
    created_at: Utc
    archived_at: Utc | None


class PersonMade(PersonOut, Written):
    pass
