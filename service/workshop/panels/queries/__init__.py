"""What is read of scales, protocols, panels and readings; other slices ask here."""

from service.workshop.panels._tables import Coat as Coat
from service.workshop.panels._tables import Effect as Effect
from service.workshop.panels._tables import Panel as Panel
from service.workshop.panels._tables import Protocol as Protocol
from service.workshop.panels._tables import ProtocolTest as ProtocolTest
from service.workshop.panels._tables import ProtocolVersion as ProtocolVersion
from service.workshop.panels._tables import RatingScale as RatingScale
from service.workshop.panels._tables import Reading as Reading
from service.workshop.panels._tables import ScaleValue as ScaleValue
from service.workshop.panels.queries.films import Film, film
from service.workshop.panels.queries.panels import (
    PANELS,
    coats_of,
    panel,
    panels_by_id,
    panels_of_lot,
    sheet,
    shown_panel,
)
from service.workshop.panels.queries.protocols import (
    PROTOCOLS,
    protocol,
    shown_protocol,
    shown_version,
    tests_of,
    version,
)
from service.workshop.panels.queries.reading_views import (
    ReadingViews,
    figure_of,
    figures_numbered,
    shown_reading,
    shown_readings,
)
from service.workshop.panels.queries.readings import (
    READINGS,
    Constant,
    Sentence,
    constants,
    effects_of,
    reading,
    reading_text,
    readings_behind,
    readings_of,
    sentences,
    tests_not_tried,
    versions_used,
)
from service.workshop.panels.queries.scales import SCALES, scale, scales, shown_scale, values_of

__all__ = [
    "PANELS",
    "PROTOCOLS",
    "READINGS",
    "SCALES",
    "Coat",
    "Constant",
    "Effect",
    "Film",
    "Panel",
    "Protocol",
    "ProtocolTest",
    "ProtocolVersion",
    "RatingScale",
    "Reading",
    "ReadingViews",
    "ScaleValue",
    "Sentence",
    "coats_of",
    "constants",
    "effects_of",
    "figure_of",
    "figures_numbered",
    "film",
    "panel",
    "panels_by_id",
    "panels_of_lot",
    "protocol",
    "reading",
    "reading_text",
    "readings_behind",
    "readings_of",
    "scale",
    "scales",
    "sentences",
    "sheet",
    "shown_panel",
    "shown_protocol",
    "shown_reading",
    "shown_readings",
    "shown_scale",
    "shown_version",
    "tests_not_tried",
    "tests_of",
    "values_of",
    "version",
    "versions_used",
]
