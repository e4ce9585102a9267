"""Rows of the labels slice; the label revisions themselves are frozen documents."""

from sqlmodel import Field

from service.store.columns import Recorded


class Labelling(Recorded, table=True):
    """The count of labels of one frozen revision: printed, used, spoiled."""

    __tablename__ = "labellings"

    lot: int = Field(foreign_key="lots.id", index=True)
    document: int = Field(foreign_key="documents.id")
    printed: int
    used: int
    spoiled: int
    label_lot: int | None = Field(default=None, foreign_key="lots.id")
