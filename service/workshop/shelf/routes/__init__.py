"""The shelf over HTTP: what is there, what runs short, and stock takes."""

from fastapi import APIRouter

from service.workshop.shelf.routes import shortages, stock, takes

router = APIRouter()
for part in (stock.router, shortages.router, takes.router):
    # Flat, so that each route keeps its class and its whole path.
    router.routes.extend(part.routes)
