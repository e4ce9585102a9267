"""Scales, protocols, panels and readings over HTTP."""

from fastapi import APIRouter

from service.workshop.panels.routes import panels, protocols, readings

router = APIRouter()
for part in (protocols.router, panels.router, readings.router):
    # Flat, so that each route keeps its class and its whole path.
    router.routes.extend(part.routes)
