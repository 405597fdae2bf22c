"""The demo workshop as `manage.py run` opens it."""

import shutil
import sqlite3
import urllib.request
from contextlib import closing

import pytest

from jobs.demo import DOORS
from tests.portal.fresh import python
from tests.services import free_port

pytestmark = [pytest.mark.browser, pytest.mark.worker, pytest.mark.slow]


def read(link: str) -> bytes:
    """What a new visitor sees who follows the link and keeps cookies on the way."""
    visitor = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
    with visitor.open(link, timeout=10) as answer:
        return bytes(answer.read())


def test_each_private_link_that_is_shown_opens_a_page_of_its_own(demo):
    assert len({read(link) for link in demo.links()}) == len(DOORS)


def test_the_demo_is_not_mistaken_for_a_workshop_of_ones_own(demo, tmp_path):
    """On a copy of its rows, taken while it runs."""
    (tmp_path / "var").mkdir()
    with closing(sqlite3.connect(demo.database)) as rows:
        rows.execute("VACUUM INTO ?", [str(tmp_path / "var" / demo.database.name)])
    shutil.copy(demo.var / "demo", tmp_path / "var")
    done = python("manage.py", "run", var=tmp_path / "var", PORT=str(free_port()), DEMO="0")
    assert done.returncode == 1
    assert "holds the demo workshop" in done.stderr
