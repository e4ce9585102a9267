"""Every list that the app serves."""

import sys
from typing import Any

import service.app
from service.store.lists import Listing


def every_listing() -> list[Listing[Any]]:
    """The lists that the modules of the app declare, each once."""
    assert service.app.ROUTERS
    modules = [module for name, module in sys.modules.items() if name.startswith("service.")]
    found = {
        id(value): value
        for module in modules
        for value in vars(module).values()
        if isinstance(value, Listing)
    }
    return sorted(found.values(), key=lambda listing: listing.name)
