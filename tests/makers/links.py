"""A link that carries every request to the service and loses most of the answers."""

from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]


class Lossy:
    """Of every three answers to a POST two are cut off after their first line."""

    def __init__(self, app: Any) -> None:
        self.app, self.posts = app, 0

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        self.posts += scope.get("method") == "POST"
        lost = scope.get("method") == "POST" and self.posts % 3

        async def answer(message: Message) -> None:
            if lost and message["type"] == "http.response.body":
                raise ConnectionResetError("the link is down")
            await send(message)

        await self.app(scope, receive, answer)
