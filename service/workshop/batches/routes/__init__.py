"""Batches over HTTP: plans and sheets, entries and figures, the cook log."""

from fastapi import APIRouter

from service.workshop.batches.routes import (
    adjustments,
    bench,
    cook_curve,
    cook_files,
    cook_log,
    corrections,
    entries,
    figures,
    plans,
    pot,
    stages,
)

router = APIRouter()
for part in (
    plans.router,
    entries.router,
    bench.router,
    figures.router,
    cook_log.router,
    cook_curve.router,
    cook_files.router,
    adjustments.router,
    pot.router,
    stages.router,
    corrections.router,
):
    # Flat, so that each route keeps its class and its whole path.
    router.routes.extend(part.routes)
