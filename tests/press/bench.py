"""A sheet for the bench: one stage of an invented cook."""

from decimal import Decimal

from service.press.blocks import Caution, Document, Task, Worksheet

CAUTIONS = (
    Caution("Cook outdoors, the lid within reach.", "cook-fumes"),
    Caution("Keep two metres clear of anything that burns.", "kettle-clearance"),
    Caution("Rags soaked in this oil catch fire by themselves.", "oily-rags"),
    Caution("Hot rosin sticks to the skin: gloves.", "hot-resin"),
    Caution("Write down when the heat goes off."),
)
TASKS = (
    Task("1", "Weigh in linseed oil", Decimal("12400"), "g", "± 12 g", ("LIN-2609-04-A", "LIN-2")),
    Task("2", "Hold until a drop pulls a string", "string of 2 cm", detail="45 min at least"),
    Task("3", "Heat off, lid on"),
    Task("4a", "Oil to resin", Decimal("2.0"), "1"),
)
COOK = Worksheet("Stage 2. Cook", TASKS, CAUTIONS)


def sheet(*stages: Worksheet) -> Document:
    subtitle, digest = "Batch SPAR-2611-07", "sha256 5d41402a"
    return Document("Spar varnish", subtitle, "en", stages, digest=digest)
