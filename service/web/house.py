"""What every request finds in the app: the store, the write gate, and who may do what."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from service.store.session import Gate, Store
from service.web.shares import Shares

# A reading session keeps its connection until its answer is written, which takes a thread again:
# more readers than connections would wait for each other. The pools hold more than this.
READERS, READERS_WAIT = 16, 30.0
# A photo of the largest size takes up to 800 MB while it is drawn anew.
OPENERS, OPENERS_WAIT = 2, 30.0

# Who is asking: the Authorization header and the request's facts, answered by an Actor.
Authorise = Callable[..., Any]


@dataclass(frozen=True)
class House:
    """Handed to the routes through the app's state, so that `web` need not know the desks."""

    store: Store
    gate: Gate
    authorise: Authorise
    routes: Callable[[], Sequence[Any]]
    shares: Shares
    readers: Gate = field(default_factory=lambda: Gate(READERS_WAIT, READERS))
    openers: Gate = field(default_factory=lambda: Gate(OPENERS_WAIT, OPENERS))

    def methods_of(self, path: str) -> list[str]:
        """The methods that some route takes at a path, for `Allow`."""
        found = {
            method
            for route in self.routes()
            if getattr(route, "path_regex", None) and route.path_regex.match(path)
            for method in route.methods or ()
        }
        return sorted(found | ({"HEAD", "OPTIONS"} if "GET" in found else {"OPTIONS"}))
