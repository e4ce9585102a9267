"""Which form a visitor asked for, and how a page leaves."""

import re

from fastapi import Request
from fastapi.responses import HTMLResponse

from service.web.problems import NotAcceptable

# The page's own stylesheet is allowed by its hash; nothing else loads, nothing runs.
_POLICY = (
    "default-src 'none'; style-src {style}; img-src 'self'; form-action 'self'; "
    "base-uri 'none'; frame-ancestors 'none'"
)
_QVALUE = re.compile(r"[01](\.[0-9]{0,3})?")  # RFC 9110, section 12.4.2
_STYLES: dict[str, str] = {}


def allow_style(csp_hash: str) -> None:
    """Told once by the app, since `web` does not know the press."""
    _STYLES["hash"] = csp_hash


def page(body: bytes, *, status: int = 200, cache: str = "public, max-age=60") -> HTMLResponse:
    """An HTML answer with its policy."""
    headers = {
        "Content-Security-Policy": _POLICY.format(style=_STYLES["hash"]),
        "Cache-Control": cache,
        "Vary": "Accept",
    }
    return HTMLResponse(body, status, headers=headers)


def prefers_html(request: Request) -> bool:
    """Whether HTML is asked for before JSON. Raises NotAcceptable where neither will do."""
    accept = request.headers.get("accept", "*/*").lower() or "*/*"
    wanted = {_weight(part)[0]: _weight(part)[1] for part in accept.split(",")}
    html = max(wanted.get(kind, 0.0) for kind in ("text/html", "text/*", "application/xhtml+xml"))
    rest = max(wanted.get("*/*", 0.0), wanted.get("application/*", 0.0))
    json = max(wanted.get("application/json", 0.0), rest)
    if not html and not json:
        raise NotAcceptable("This is had as text/html or application/json.")
    return html > 0 and html >= wanted.get("application/json", 0.0) and html >= json


def _weight(part: str) -> tuple[str, float]:
    kind, _, rest = part.partition(";")
    weight = 1.0
    for parameter in rest.split(";"):
        name, _, value = parameter.strip().partition("=")
        if name == "q":
            weight = float(value) if _QVALUE.fullmatch(value) else 0.0
    return kind.strip(), weight
