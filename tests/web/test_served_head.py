"""HEAD through a real server: the connection stays usable for the next request."""

from typing import Any

import httpx

from tests.served import serving


def test_a_connection_survives_head(app: Any) -> None:
    with serving(app) as url, httpx.Client(base_url=url) as client:
        for _ in range(20):
            head, get = client.head("/problems"), client.get("/problems")
            assert head.status_code == get.status_code == 200
            assert head.headers["content-length"] == str(len(get.content))
            assert head.content == b""
