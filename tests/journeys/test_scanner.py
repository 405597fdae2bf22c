"""A mail scanner opens every link of every letter, and some press every button: nothing may come of it but notes of access.

Such scanners are real (see the issue threads at nextauthjs/next-auth#1840 and FusionAuth/fusionauth-issues#629). That a GET has
no effect is RFC 9110, section 9.2.1.
"""

import email
import email.policy
import re
import sqlite3
import urllib.error
import urllib.request
from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Page, Request, TimeoutError

from tests.journeys.addresses import STAGES, Rows
from tests.journeys.reader import Reader
from tests.journeys.visitors import Visitors
from tests.journeys.world import World
from tests.services import wait_until

pytestmark = [pytest.mark.browser, pytest.mark.worker, pytest.mark.slow]

# Notes of access and of the machinery, which nothing hangs on.
NOTES = {
    "jobs_opening",
    "django_session",
    "portal_ratebucket",
    "portal_pulse",
    "notifications_sweeplease",
    "sqlite_sequence",
}
NOTED = {"jobs_job": "opened_at"}  # when the page was last read
BUTTONS = "button, input[type=submit]"
ADDRESS = re.compile(r"https?://[^\s\"'<>)]+")


def everything(database: Path) -> dict[str, list[tuple]]:
    """Every row of every table but the notes."""
    with closing(sqlite3.connect(f"file:{database}?mode=ro", uri=True)) as rows:
        tables = [name for (name,) in rows.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {table: whole(rows, table) for table in tables if table not in NOTES}


def whole(rows: sqlite3.Connection, table: str) -> list[tuple]:
    columns = [row[1] for row in rows.execute(f"PRAGMA table_info({table})") if row[1] != NOTED.get(table)]
    names = ", ".join(f'"{column}"' for column in columns)
    return sorted(rows.execute(f"SELECT {names} FROM {table}"), key=repr)


def links_of(world: World) -> list[str]:
    """Every address of ours in every letter, of its text and of its HTML and of its head."""
    found: set[str] = set()
    for file in (world.var / "letterbox").glob("*.eml"):
        letter = email.message_from_bytes(file.read_bytes(), policy=email.policy.default)
        parts = [part.get_content() for part in letter.walk() if part.get_content_maintype() == "text"]
        for text in [*parts, str(letter["List-Unsubscribe"] or "")]:
            found |= set(ADDRESS.findall(text.replace("&amp;", "&")))
    return sorted(link.rstrip(".,") for link in found if link.startswith(world.url))


def fetch(address: str, method: str) -> str:
    """Follows redirects; answers where it ended, without what cookies would have opened."""
    try:
        with urllib.request.urlopen(urllib.request.Request(address, method=method), timeout=10) as answer:
            return str(answer.url)
    except urllib.error.HTTPError as refused:
        with refused:
            return str(refused.url)


@pytest.fixture(scope="module")
def letters(demo):
    """All links of all letters, once the owner has had a new one sent for a job at each stage."""
    owner = Reader(demo).log_in("hester")
    for stage in STAGES:
        ref = Rows(demo.database).ref(stage)
        owner.send(f"/office/{ref}/", f"/office/{ref}/link/")
    wait_until(demo.all_is_sent, 60, "the sending of the links")
    found = links_of(demo)
    assert len(found) > 20
    return found


def test_opening_every_link_changes_nothing(demo, letters):
    before = everything(demo.database)
    for method in ("HEAD", "GET", "GET"):
        for link in letters:
            fetch(link, method)
    assert "\n".join(differences(before, everything(demo.database))) == ""


def test_pressing_every_button_without_typing_changes_nothing(demo, letters, guests):
    before = everything(demo.database)
    pages = {kind_of(demo, fetch(link, "GET")): link for link in letters}
    assert len(pages) > 10
    for link in pages.values():
        press_everything(guests, link)
    assert "\n".join(differences(before, everything(demo.database))) == ""


def kind_of(world: World, address: str) -> str:
    """What is behind a link: a job at some stage, held by somebody; or the first word of its path. One of each is enough."""
    first, *rest = address.removeprefix(world.url).strip("/").split("/")
    if first != "my":
        return first
    with closing(sqlite3.connect(f"file:{world.database}?mode=ro", uri=True)) as rows:
        held = "SELECT stage || ', ' || holder FROM jobs_job WHERE ref = ?"
        return str(rows.execute(held, [rest[0].replace("-", "")]).fetchone()[0])


def press_everything(guests: Visitors, link: str) -> None:
    """Each button of the page behind the link, as a robot would: opened afresh after each that sent something."""
    page = guests.come()
    page.goto(link)
    for words in dict.fromkeys(page.locator(BUTTONS).all_text_contents()):
        if blindly_press(page, words):
            page = page.context.new_page()
            page.goto(link)
    page.context.close()
    guests.contexts.remove(page.context)


def blindly_press(page: Page, words: str) -> bool:
    """Whether the button sent something; waits until that is answered."""
    button = page.locator(BUTTONS).filter(has_text=words.strip()).first
    try:
        with page.expect_event("requestfinished", is_post, timeout=300):
            button.dispatch_event("click")
    except TimeoutError:
        return False
    return True


def is_post(request: Request) -> bool:
    return request.method == "POST"


def differences(before: dict[str, list[tuple]], after: dict[str, list[tuple]]) -> list[str]:
    return [
        f"{table}: {row}"
        for table in after
        for row in sorted(set(map(repr, after[table])) ^ set(map(repr, before[table])))
    ]
