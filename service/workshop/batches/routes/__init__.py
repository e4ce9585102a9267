"""Batches over HTTP: plans and sheets, entries and figures, the cook log."""

from fastapi import APIRouter

from service.workshop.batches.routes import cook_log, entries, figures, plans

router = APIRouter()
for part in (plans.router, entries.router, figures.router, cook_log.router):
    # Flat, so that each route keeps its class and its whole path.
    router.routes.extend(part.routes)
