"""A real server on loopback in a thread, and many requests to it at once."""

import asyncio
import socket
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import httpx
import uvicorn

Request = tuple[str, str, Any]  # method, path, body


@contextmanager
def serving(app: Any) -> Iterator[str]:
    """The base URL of the app, served as it is in earnest."""
    listening = socket.create_server(("127.0.0.1", 0))
    server = uvicorn.Server(
        uvicorn.Config(app, log_level="critical", access_log=False, lifespan="off")
    )
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    try:
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    finally:
        server.should_exit = True
        thread.join(10)
        listening.close()


def at_once(url: str, key: str | None, requests: Sequence[Request]) -> list[httpx.Response]:
    """The answers to requests that are all sent at the same time."""

    async def send() -> list[httpx.Response]:
        limits = httpx.Limits(max_connections=None)
        headers = {"Authorization": f"Bearer {key}"}
        async with httpx.AsyncClient(
            base_url=url, limits=limits, timeout=60, headers=headers
        ) as client:
            sent = [
                client.request(method, path, **({} if body is None else {"json": body}))
                for method, path, body in requests
            ]
            return await asyncio.gather(*sent)

    return asyncio.run(send())
