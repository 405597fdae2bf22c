"""Somebody who reads and sends pages without a browser."""

import http.cookiejar
import re
import urllib.error
import urllib.parse
import urllib.request

from jobs.demo.telling import PASSWORD
from tests.journeys.world import World


class Reader:
    """Somebody with cookies and no browser."""

    def __init__(self, world: World) -> None:
        jar = urllib.request.HTTPCookieProcessor(http.cookiejar.CookieJar())
        self.world, self.opener = world, urllib.request.build_opener(jar)

    def read(self, path: str, data: bytes | None = None) -> str:
        """The page, whatever its status."""
        try:
            with self.opener.open(urllib.parse.urljoin(self.world.url, path), data, timeout=20) as answer:
                return str(answer.read().decode())
        except urllib.error.HTTPError as refused:
            with refused:
                return refused.read().decode()

    def log_in(self, username: str) -> "Reader":
        self.send("/staff/", username=username, password=PASSWORD)
        return self

    def send(self, path: str, to: str = "", **typed: str) -> str:
        """Send a form of the page at `path`, to that page or to where the form goes."""
        token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', self.read(path))
        assert token, path
        return self.read(
            to or path, urllib.parse.urlencode({"csrfmiddlewaretoken": token[1], **typed}).encode()
        )
