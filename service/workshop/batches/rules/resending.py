"""A body as it can be sent again: what remedies write out where a patch replaces a whole list."""

from datetime import datetime
from typing import Any

from pydantic import BaseModel

from service.science.units import Quantity


def written(value: Any) -> Any:
    """A value as a body says it, of an object only what was sent."""
    if isinstance(value, Quantity):
        return str(value)
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, list):
        return [written(each) for each in value]
    if isinstance(value, BaseModel):
        fields = type(value).model_fields
        sent = sorted(value.model_fields_set)
        return {fields[name].alias or name: written(getattr(value, name)) for name in sent}
    return value
