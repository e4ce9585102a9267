"""The session of a request, as two types: a signature says whether a route may write."""

from typing import Annotated

from fastapi import Depends, Request

from service.store.session import ReadSession, WriteSession


def _reading(request: Request) -> ReadSession:
    session: ReadSession = request.state.session
    return session


def _writing(request: Request) -> WriteSession:
    session: WriteSession = request.state.session
    return session


Reading = Annotated[ReadSession, Depends(_reading)]
Writing = Annotated[WriteSession, Depends(_writing)]
