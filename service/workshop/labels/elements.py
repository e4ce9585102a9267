"""The elements of a label: what is printed, why, and what is still undecided."""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from service.office.workshop_card.queries import card, zone
from service.science.tables import rows
from service.store.session import ReadSession
from service.web.amounts import litres
from service.workshop.labels.bodies import LabelGap, PrintOut
from service.workshop.labels.contents import cautions_of, parts_of
from service.workshop.labels.rules import (
    CHILDREN,
    NOT_ASSESSED,
    contents,
    contents_text,
    lot_address,
    months_after,
    span,
)
from service.workshop.products import queries as products
from service.workshop.products.queries import Product
from service.workshop.stock.queries import Lot

CAUTIONS_IN = "en"
_CARD = "PATCH /v1/workshop"


@dataclass
class Face:
    """The elements of one label as they come together."""

    session: ReadSession
    packed: Lot
    bulk: Lot
    product: Product
    language: str
    why: dict[str, dict[str, Any]] = field(default_factory=dict)
    undecided: list[LabelGap] = field(default_factory=list)

    def lacks(self, element: str, detail: str, concluded_by: str) -> None:
        """Say which element is missing, and which call supplies it."""
        self.undecided.append(LabelGap(element=element, detail=detail, concluded_by=concluded_by))

    def printed(self) -> PrintOut:
        """What goes on the jar; the trace and the gaps are noted on the way."""
        self.why["hazard_classes"] = dict(NOT_ASSESSED)
        return PrintOut(
            name=self._name(),
            contains=self._contains(),
            signal=None,
            pictograms=[],
            hazard=[],
            supplemental=self._supplemental(),
            precaution=self._precaution(),
            net=self._net(),
            lot=self.packed.number,
            made_on=self.bulk.made_on.isoformat() if self.bulk.made_on else None,
            best_before=best_before(self.packed, self.bulk, self.product),
            after_opening=span(self.product.open_months),
            ufi=None,
            voc=None,
            directions=directions_of(self.session, self.product, self.language),
            supplier=self._supplier(),
            qr=self._code(),
        )

    def _name(self) -> str | None:
        found = name_of(self.session, self.product, self.language)
        if found is None:
            wrong = f"{self.product.code} has no name in {self.language}."
            self.lacks("name", wrong, f"PATCH /v1/products/{self.product.code}")
        return found

    def _contains(self) -> str | None:
        listed = contents(parts_of(self.session, self.bulk), self.product.disclosure)
        self.why["contains"] = {
            "rule": f"disclosure of {self.product.code}: {self.product.disclosure}",
            "how": "as weighed in, intermediates taken apart, by falling mass",
        }
        return contents_text(listed)

    def _supplemental(self) -> list[tuple[str, str]]:
        found = cautions_of(self.session, self.bulk)
        for called in found:
            self.why[called.mark] = {
                "rule": called.caution.rule,
                "because": list(called.because),
                "source": called.caution.source,
            }
        if found and self.language != CAUTIONS_IN:
            wrong = f"The cautions have no wording in {self.language}; they stand in English."
            self.lacks("supplemental", wrong, f"a label in {CAUTIONS_IN}")
        return [(called.mark, called.caution.text) for called in found]

    def _precaution(self) -> list[tuple[str, str]]:
        for row in rows("label_statements.csv"):
            if row["code"] == CHILDREN and row["language"] == self.language:
                why = {"rule": "sold to the public", "source": row["source"]}
                self.why[CHILDREN] = why
                return [(CHILDREN, row["text"])]
        wrong = f"{CHILDREN} has no wording in {self.language}."
        self.lacks("precaution", wrong, f"a label in {CAUTIONS_IN}")
        return []

    def _net(self) -> str:
        self.why["net"] = {"rule": f"nominal content of the pack {self.packed.pack}"}
        return net(self.packed)

    def _supplier(self) -> list[str]:
        workshop = card(self.session)
        known = {name: getattr(workshop, name) for name in ("name", "address", "telephone")}
        for element, value in known.items():
            if value is None:
                wrong = f"The workshop's {element} is not known; a label must bear it."
                self.lacks(f"supplier.{element}", wrong, _CARD)
        self.why["supplier"] = {"rule": "CLP Article 17(1)(a)", "from": "/v1/workshop"}
        return [value for value in known.values() if value is not None]

    def _code(self) -> str | None:
        address = card(self.session).public_address
        if address is None:
            self.why["qr"] = {"rule": "the workshop has no public address", "concluded_by": _CARD}
        return lot_address(address, self.packed.number)


def name_of(session: ReadSession, product: Product, language: str) -> str | None:
    """The product's name in a language."""
    found = products.text(session, product.code, language)
    return found.name if found else None


def directions_of(session: ReadSession, product: Product, language: str) -> str | None:
    """How to use the product, in a language."""
    found = products.text(session, product.code, language)
    return found.directions if found else None


def told(session: ReadSession, product: Product, language: str) -> tuple[str, str | None]:
    """The product's name and directions as the public reads them: in the language, else in any
    that it has; a code is no name for a buyer where there is a better one."""
    known = {text.language: text for text in products.texts(session, product.code)}
    found = known.get(language) or next(iter(known.values()), None)
    return (found.name, found.directions) if found else (product.code, None)


def net(packed: Lot) -> str:
    """The nominal content of a packed lot as it is printed."""
    return size(packed.nominal_ul or 0)


def size(nominal_ul: int) -> str:
    """A volume as it is printed: 250 ml."""
    found = litres(nominal_ul)
    return f"{found.value} {found.unit}" if found else ""


def best_before(packed: Lot, bulk: Lot, product: Product) -> str | None:
    """The month the lot keeps to: its own date, else the product's shelf life."""
    if packed.expires_on is not None:
        return packed.expires_on.isoformat()[:7]
    if bulk.made_on is None or product.shelf_months is None:
        return None
    return months_after(bulk.made_on, product.shelf_months)


def day_of(session: ReadSession, instant: datetime) -> str:
    """The day of an instant in the workshop's zone."""
    return instant.astimezone(zone(session)).date().isoformat()
