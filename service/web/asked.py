"""A question put as query parameters: one model declares them, reads them and refuses them."""

import inspect
from collections.abc import Callable, Mapping
from typing import Annotated, Any, TypeVar, get_origin

from fastapi import Query, Request
from fastapi.exceptions import RequestValidationError
from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from starlette.datastructures import QueryParams

M = TypeVar("M", bound=BaseModel)


def asked(model: type[M]) -> Callable[..., M]:
    """The dependency that reads a model's fields from the address."""

    def read(**sent: Any) -> M:
        # From the address itself, so that the model knows what was sent and what filled in.
        return of_address(model, sent["request"].query_params)

    needed = inspect.Parameter("request", inspect.Parameter.KEYWORD_ONLY, annotation=Request)
    fields = [_parameter(name, field) for name, field in model.model_fields.items()]
    # FastAPI reads the signature: this is where a model becomes OpenAPI.
    read.__signature__ = inspect.Signature([needed, *fields])  # type: ignore[attr-defined]
    return read


def of_address(model: type[M], query: QueryParams) -> M:
    """The same, for whoever needs it before the dependencies are read."""
    fields = {
        name: query.getlist(name) if _many(field) else query[name]
        for name, field in model.model_fields.items()
        if name in query
    }
    return _valid(model, fields)


def _parameter(name: str, field: FieldInfo) -> inspect.Parameter:
    described = Query(description=field.description)
    kind: Any = field.annotation
    kind = Annotated[kind, *field.metadata, described]
    default = inspect.Parameter.empty if field.is_required() else field.get_default()
    return inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=kind)


def _many(field: FieldInfo) -> bool:
    return get_origin(field.annotation) is list


def _valid(model: type[M], fields: Mapping[str, Any]) -> M:
    try:
        return model.model_validate(dict(fields))
    except ValidationError as error:
        faults = [
            {**one, "loc": ("query", *one["loc"][:1], *one.get("ctx", {}).get("below", ()))}
            for one in error.errors(include_url=False)
        ]
        raise RequestValidationError(faults) from None
