"""What the front desk says, as bodies and as pages."""

from importlib.metadata import version

from service.errors import Refused, registry
from service.office.front_desk.bodies import ProblemKind, Welcome
from service.press import html
from service.press.blocks import (
    Block,
    Choice,
    Choices,
    Document,
    Fact,
    Facts,
    Form,
    Link,
    Paragraph,
)
from service.store.session import ReadSession

WHAT = (
    "Records, arithmetic and data sheets for small-batch makers of oil varnish, resinates, spirit "
    "varnish, hard oils and waxes."
)
BEGIN = {
    "look up a jar": "/l",
    "API page": "/docs",
    "OpenAPI document": "/openapi.json",
    "kinds of problem": "/problems",
    "health": "/health/ready",
}


def welcome() -> Welcome:
    return Welcome(service="kettlemark", version=version("kettlemark"), what=WHAT, begin=BEGIN)


def welcome_page() -> bytes:
    blocks: tuple[Block, ...] = (
        Paragraph(WHAT),
        Form("/l", "Number on your jar", "number", "Show"),
        Paragraph("Everything under /v1 needs a key; whoever runs this service can make one."),
        Choices(tuple(Choice(Link(text, href)) for text, href in BEGIN.items())),
    )
    subtitle = f"version {version('kettlemark')}"
    return html.render(Document("kettlemark", subtitle, "en", blocks))


def problem_kind(kind: type[Refused]) -> ProblemKind:
    return ProblemKind(
        type=f"/problems/{kind.slug}", title=kind.title, status=kind.status, about=kind.about
    )


def problem_kinds() -> list[ProblemKind]:
    """All kinds, by slug."""
    return [problem_kind(kind) for _, kind in sorted(registry().items())]


def problem_page(kind: type[Refused]) -> bytes:
    blocks: tuple[Block, ...] = (
        Facts((Fact("Status", str(kind.status)), Fact("Type", f"/problems/{kind.slug}"))),
        Paragraph(kind.about.replace("`", "")),
        Choices((Choice(Link("All kinds of problem", "/problems")),)),
    )
    return html.render(Document(kind.title, "A problem explained", "en", blocks))


def problems_page() -> bytes:
    kinds = tuple(
        Choice(Link(kind.title, kind.type), f"{kind.status}, {kind.type}")
        for kind in problem_kinds()
    )
    return html.render(
        Document("Kinds of problem", "What a refusal means", "en", (Choices(kinds),))
    )


def ready(session: ReadSession) -> None:
    """Raises whatever the database raises."""
    session.connection().exec_driver_sql("select 1")
