"""The words of the front desk: pure."""

from service.errors import NotFound, Refused, registry


class UnknownProblem(NotFound):
    slug = "problem-unknown"
    title = "There is no such kind of problem"


def problem_named(slug: str) -> type[Refused]:
    """Raises UnknownProblem."""
    if (kind := registry().get(slug)) is None:
        raise UnknownProblem(f"No problem here is called {slug[:40]!r}.")
    return kind
