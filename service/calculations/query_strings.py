"""Inputs in an address, so that a spreadsheet cell can ask: `?cup=ISO2431-4&seconds=62`.

A list is its name repeated; a record is its fields in their order with colons between them, as in
`oils=1000:0.93&oils=200:0.937`. A field left empty was not sent.
"""

from collections.abc import Mapping
from inspect import Parameter
from typing import Annotated, Any

from fastapi import Query
from pydantic import ValidationError, WithJsonSchema

from service.calculations.catalogue import Calculation
from service.calculations.inputs import Input, number_schema, record_inputs
from service.calculations.rules import in_query
from service.errors import Invalid
from service.web.faults import faults_of
from service.web.fields import In

_SEPARATOR = ":"


def parameter(one: Input) -> Parameter:
    """The query parameter of an input; it comes as text and is read with the body's own types."""
    asked = Query(description=one.described + _order(one))
    schema = WithJsonSchema(_schema(one))
    kind: Any = Annotated[str, schema, asked]
    if one.many:
        kind = Annotated[list[str], WithJsonSchema({"type": "array", "items": _schema(one)}), asked]
    needed = Parameter.empty if one.required else None
    return Parameter(one.name, Parameter.KEYWORD_ONLY, annotation=kind, default=needed)


def _order(one: Input) -> str:
    if not one.record:
        return ""
    names = _SEPARATOR.join(each.name for each in record_inputs(one.kind))
    return f"; each written {names}"


def _schema(one: Input) -> dict[str, Any]:
    if one.record:
        return {"type": "string"}
    if one.kind is bool:
        return {"enum": ["yes", "no", "true", "false"]}
    if one.kind is str:
        return {"type": "string", **({"enum": list(one.choices)} if one.choices else {})}
    return number_schema(one)


def read(calculation: Calculation, sent: Mapping[str, Any]) -> In:
    """The body that the address spells out. Raises Invalid, naming parameters."""
    by_name = {one.name: one for one in calculation.inputs}
    fields = {name: _value(by_name[name], text) for name, text in sent.items()}
    try:
        return calculation.body.model_validate(
            {name: value for name, value in fields.items() if value not in ("", [], {})}
        )
    except ValidationError as error:
        raise _refused(error) from None


def _refused(error: ValidationError) -> Invalid:
    """The first fault at its parameter, and the others beside it."""
    found = error.errors()
    each = [
        in_query(one["loc"], fault.detail, code=fault.code, hint=fault.hint)
        for one, fault in zip(
            found, faults_of([{**one, "loc": ("query",)} for one in found]), strict=False
        )
    ]
    more = f" {len(each) - 1} more in `errors`." if len(each) > 1 else ""
    return Invalid(each[0].detail + more, tuple(fault for one in each for fault in one.faults))


def _value(one: Input, sent: Any) -> Any:
    sent = [text for text in sent if text] if one.many else sent
    if not one.record or not sent:
        return sent
    return [_record(one, text) for text in sent] if one.many else _record(one, sent)


def _record(one: Input, text: str) -> dict[str, str]:
    names = [each.name for each in record_inputs(one.kind)]
    parts = text.split(_SEPARATOR)
    # What is too much stays in the last field, where it is refused by name.
    parts[len(names) - 1 :] = (
        [_SEPARATOR.join(parts[len(names) - 1 :])] if len(parts) >= len(names) else []
    )
    return {name: part for name, part in zip(names, parts, strict=False) if part != ""}
