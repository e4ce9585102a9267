"""One invented sheet, as a small workshop by a tidal river would publish it."""

from datetime import date
from decimal import Decimal

import pytest

from service.press.blocks import (
    Caution,
    Document,
    Fact,
    Facts,
    Heading,
    Link,
    Note,
    Observations,
    Paragraph,
    Seen,
)
from service.press.text import day, listed

LOT = "SPAR-2611-07A-M"
ADDRESS = f"https://lots.example.org/l/{LOT}"
MADE = date(2026, 11, 25)
NOT_TRIED = ("mineral spirit", "household ammonia", "gel stripper", "knocks on an edge")

SEEN = Observations(
    (
        Seen(
            "Water, one drop covered for 16 h at 21 °C: faint whitening, gone after 2 h "
            "(3 trials).",
            "panel",
        ),
        Seen(
            "Artificial perspiration (acid), open drop, 4 h at 21 °C, own method: nothing seen "
            "(3 trials).",
            "panel",
        ),
        Seen(
            "Hand-rub alcohol, 20 rubs with a wet cloth at 21 °C: strong colour on the cloth, "
            "film softened (1 trial).",
            "panel",
        ),
    )
)
CONSTANTS = Facts(
    (
        Fact("Flow time", Decimal("62"), "s", "measured", "cup"),
        Fact("Non-volatile, by mass", Decimal("59.8"), "%", "measured", "nv"),
        Fact("Density at 20 °C", Decimal("0.897"), "kg/l", "measured", "rho"),
        Fact("Oil to resin, by mass as charged", Decimal("2.0"), "1", "calculated", "ratio"),
    )
)
FOOTNOTES = (
    Note(
        "panel",
        "measured",
        "HANDLER, version 2, the workshop's own",
        "panel P-26-014, lot SPAR-2611-07-L, 3 coats, film 48 µm (calculated), 21 °C, 48 %; "
        "23 December 2026",
    ),
    Note(
        "cup",
        "measured",
        "ISO 2431, cup 4, 23.0 °C",
        "3 trials, 61 to 63 s; 27 November 2026; R-26-0371, R-26-0372, R-26-0373",
    ),
    Note(
        "nv",
        "measured",
        "1 g, 105 °C, 60 min",
        "2 trials; 27 November 2026; R-26-0374, R-26-0375",
    ),
    Note("rho", "measured", "pyknometer, 20.0 °C", "27 November 2026; R-26-0376"),
    Note("ratio", "calculated", "oils / resinate, as weighed in", "batch SPAR-2611-07-L"),
)


@pytest.fixture(scope="session")
def spar() -> Document:
    return Document(
        title="Spar varnish, long oil",
        subtitle=f"Lot {LOT}, 250 ml, made {day(MADE, 'en')}",
        language="en",
        blocks=(
            Paragraph("Tested on a panel of the same kettle, 3 coats, 28 days old.", emphasis=True),
            Heading("What we put on it, and what we saw"),
            SEEN,
            Paragraph(f"Not tried on this lot: {listed(NOT_TRIED, 'en')}."),
            Heading("Constants"),
            CONSTANTS,
            Heading("In use"),
            Facts(
                (
                    Fact("Directions", "Three thin coats, a day apart."),
                    Fact("Best before", "November 2028; 12 months after opening"),
                )
            ),
            Heading("Hazards"),
            Paragraph(
                "Warning. Flammable liquid and vapour. May cause an allergic skin reaction. May "
                "cause drowsiness or dizziness. Repeated exposure may cause skin dryness or "
                "cracking."
            ),
            Caution(
                "Rags soaked in this oil can catch fire by themselves: lay flat outdoors to dry "
                "or keep under water in a closed metal can.",
                "oily-rags",
            ),
        ),
        links=(
            Link("JSON", f"/l/{LOT}.json"),
            Link("CSV", f"/l/{LOT}.csv"),
            Link("signed revision 1", f"/l/{LOT}/r/1.jws"),
        ),
        footnotes=FOOTNOTES,
        json_ld={"@context": "https://schema.org", "@type": "Product", "@id": ADDRESS},
        canonical_url=ADDRESS,
    )
