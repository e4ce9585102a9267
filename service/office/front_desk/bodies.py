"""Bodies of the front desk."""

from service.web.fields import Out


class Welcome(Out):
    """What runs here and where to begin."""

    service: str
    version: str
    what: str
    begin: dict[str, str]


class ProblemKind(Out):
    """A kind of refusal."""

    type: str
    title: str
    status: int
    about: str


class ProblemKinds(Out):
    data: list[ProblemKind]


class Health(Out):
    """`ok` where all is well; a refusal otherwise."""

    status: str
