"""The app put together: the only place that knows everyone."""

from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from importlib.metadata import version
from typing import Any

from fastapi import APIRouter, FastAPI
from fastapi.exceptions import RequestValidationError
from fastapi.openapi.utils import get_openapi
from starlette.exceptions import HTTPException

import service.calculations.routes
import service.exchange.routes
import service.office.attachments.routes
import service.office.audit.routes
import service.office.equipment.routes
import service.office.front_desk.routes
import service.office.keys.routes
import service.office.people.routes
import service.office.workshop_card.routes
import service.workshop.batches.routes
import service.workshop.deviations.routes
import service.workshop.labels.routes
import service.workshop.lots.check_routes
import service.workshop.lots.routes
import service.workshop.materials.routes
import service.workshop.panels.routes
import service.workshop.products.routes
import service.workshop.recipes.routes
import service.workshop.release.comparison_routes
import service.workshop.release.record_routes
import service.workshop.release.routes
import service.workshop.scalings.routes
import service.workshop.sheets.routes
import service.workshop.shelf.routes
import service.workshop.stock.routes
from service import examples
from service.errors import Refused
from service.office.audit.actions import seal, watch
from service.office.keys.deps import door
from service.office.keys.rules import PUBLIC, matrix
from service.press.html import STYLE_CSP_HASH
from service.settings import Settings
from service.store.session import Gate, Store
from service.web import logs
from service.web.edge import Edge
from service.web.house import House
from service.web.negotiation import allow_style
from service.web.openapi import complete
from service.web.problems import handle
from service.web.shares import Shares
from service.workshop.release.record.freezing import freeze_completed

# In the order of the work; the API page follows it.
ROUTERS: Sequence[APIRouter] = (
    service.workshop.materials.routes.router,
    service.workshop.stock.routes.router,
    service.workshop.shelf.routes.router,
    service.workshop.recipes.routes.router,
    service.workshop.products.routes.router,
    service.workshop.scalings.routes.router,
    service.workshop.batches.routes.router,
    service.workshop.panels.routes.router,
    service.workshop.lots.routes.router,
    service.workshop.lots.check_routes.router,
    service.workshop.labels.routes.router,
    service.workshop.sheets.routes.router,
    service.workshop.release.routes.router,
    service.workshop.release.record_routes.router,
    service.workshop.release.comparison_routes.router,
    service.workshop.deviations.routes.router,
    service.exchange.routes.router,
    service.office.workshop_card.routes.router,
    service.office.people.routes.router,
    service.office.equipment.routes.router,
    service.office.attachments.routes.router,
    service.office.keys.routes.router,
    service.office.audit.routes.router,
    service.office.front_desk.routes.router,
    # Last, since routes are tried in order and these are hundreds.
    service.calculations.routes.router,
)


def create_store(settings: Settings) -> Store:
    """The store with its trail: every committed change is sealed into the audit chain; before that
    the record of a batch that it completed is frozen."""
    watch()
    return Store(settings.database_url, closing=(freeze_completed, seal))


@asynccontextmanager
async def _closing(app: FastAPI) -> AsyncIterator[None]:
    # The last to close an SQLite file leaves all of it in that one file.
    yield
    app.state.house.store.dispose()


def create_app(settings: Settings, store: Store | None = None) -> FastAPI:
    """The app for a database that stands at the present migration."""
    logs.set_up(settings.log_level)
    allow_style(STYLE_CSP_HASH)
    held = store or create_store(settings)
    app = FastAPI(
        title="kettlemark",
        version=version("kettlemark"),
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        redirect_slashes=False,
        separate_input_output_schemas=False,
        lifespan=_closing,
        exception_handlers={
            HTTPException: handle,
            RequestValidationError: handle,
            Refused: handle,
        },
    )
    for router in ROUTERS:
        # Flat, so that each route stands in the table under its whole path.
        app.router.routes.extend(router.routes)
    app.state.house = House(
        store=held,
        gate=Gate(settings.gate_seconds),
        authorise=door(held, _unlocked(settings)),
        shares=Shares(settings.calculations_per_minute),
        routes=lambda: app.router.routes,
    )
    # FastAPI asks for its document by this method, and documents replacing it on the instance.
    app.openapi = lambda: _openapi(app)  # type: ignore[method-assign]
    app.add_middleware(Edge)
    return app


def _unlocked(settings: Settings) -> frozenset[str]:
    """What needs no key where the operator says so: the sums, which look at no record."""
    return frozenset({"calculate"} if settings.open_calculations else ())


def _openapi(app: FastAPI) -> dict[str, Any]:
    if app.openapi_schema is None:
        drawn = get_openapi(
            title=app.title,
            version=app.version,
            routes=app.routes,
            summary="Records, arithmetic and data sheets for small-batch makers of finishes.",
            separate_input_output_schemas=False,
        )
        public = frozenset(name for name, scope in matrix().items() if scope == PUBLIC)
        app.openapi_schema = complete(drawn, public=public, examples=examples.by_operation())
    return app.openapi_schema


def document() -> dict[str, Any]:
    """The OpenAPI document, drawn without touching any database."""
    app = create_app(Settings(database_url="sqlite://"))
    drawn: dict[str, Any] = app.openapi()
    return drawn
