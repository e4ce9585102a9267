"""Lists that are filtered by another row's code, shown under the trade's word for it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from service.store.columns import Numbered
from service.store.lists import Listing

R = TypeVar("R", bound=Numbered)


@dataclass(frozen=True)
class CodedListing(Listing[R]):
    """A listing whose filters may stand for other columns than those of their name."""

    columns: Mapping[str, Any] = field(default_factory=dict)

    def column(self, name: str) -> Any:
        return self.columns[name] if name in self.columns else super().column(name)
