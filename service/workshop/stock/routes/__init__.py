"""Stock over HTTP: deliveries, lots and their life, the ledger, top-ups, the shelf."""

from fastapi import APIRouter

from service.workshop.stock.routes import balances, entries, life, receipts, top_ups

router = APIRouter()
for part in (entries.router, life.router, receipts.router, top_ups.router, balances.router):
    # Flat, so that each route keeps its class and its whole path.
    router.routes.extend(part.routes)
