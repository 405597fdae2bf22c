"""Mail scanners open every link, several times, before the reader does. None of it may change anything but the notes on who came in."""

import re
from collections.abc import Iterator
from email import policy
from email.parser import BytesParser
from html import unescape
from typing import Any
from urllib.parse import urljoin, urlsplit

import pytest
from django.apps import apps
from django.test import Client

from jobs.actions import asking
from jobs.actions.warranting import open_claim
from jobs.actor import Actor
from jobs.words import Stage
from notifications import message, relay
from notifications.chasing import nudge
from notifications.models import Letter
from tests.cast import Cast

pytestmark = pytest.mark.django_db

# Who came in, when, and how often somebody knocked: notes on access, nothing hangs on them.
NOTES = {"jobs.Opening", "portal.RateBucket", "sessions.Session"}
NOTED = {"jobs.Job": {"opened_at"}}
WATCHED = ("jobs", "notifications", "portal", "sessions", "auth")
LINK = re.compile(r"""(?:href|src|action)=["']([^"'#]+)""")
ADDRESS = re.compile(r"https?://[^\s<>\"']+")


def everything() -> dict[str, list[dict[str, Any]]]:
    """Every row of ours, without the notes on access."""
    found = {}
    for model in apps.get_models():
        label = model._meta.label
        if model._meta.app_label in WATCHED and label not in NOTES:
            rows = list(model._default_manager.order_by("pk").values())
            found[label] = [
                {name: row[name] for name in row if name not in NOTED.get(label, ())} for row in rows
            ]
    return found


@pytest.fixture
def letters(cast: Cast) -> list[bytes]:
    """The letters of a scenario that touches every kind of page, as a mail server receives them."""
    waiting = cast.job_at(Stage.QUOTED)
    nudge(waiting, cast.owner)
    asking.ask(waiting, "Will it last?", Actor.customer(waiting.customer), "once")
    cast.job_at(Stage.AWAITING_PART)
    cast.job_at(Stage.WITHDRAWN)
    home = cast.home(cast.job_at(Stage.RETURNED))
    open_claim(home, "It jams again.", Actor.customer(home.customer))
    relay.run()
    written = Letter.objects.exclude(state=Letter.State.SKIPPED)
    return [message.build(letter, "bench@example.org") for letter in written]


def links_in(mail: bytes) -> set[str]:
    """Every address of our own in the text, the HTML and the headers of a letter, as a path."""
    parsed = BytesParser(policy=policy.default).parsebytes(mail)
    bodies = [part.get_content() for part in parsed.walk() if part.get_content_maintype() == "text"]
    heads = " ".join(str(value) for value in parsed.values())
    found = {unescape(address) for body in [*bodies, heads] for address in ADDRESS.findall(body)}
    return {urlsplit(address).path for address in found if urlsplit(address).netloc.startswith("localhost")}


def onward(path: str, page: str) -> Iterator[str]:
    """What a scanner that follows links finds on a page."""
    for link in LINK.findall(page):
        target = urlsplit(urljoin(path, unescape(link)))
        if not target.netloc and target.path.startswith("/") and not target.path.startswith("/static/"):
            yield f"{target.path}?{target.query}" if target.query else target.path


def test_the_scenario_has_private_links_in_it(letters: list[bytes]) -> None:
    paths = set().union(*map(links_in, letters))
    assert sum(path.startswith("/open/") for path in paths) >= 10
    assert any(path.startswith("/letters-off/") for path in paths)


def test_a_scanner_that_opens_every_link_changes_nothing(letters: list[bytes]) -> None:
    paths = sorted(set().union(*map(links_in, letters)))
    before = everything()
    for path in paths:
        scanner = Client()
        scanner.head(path)
        for _ in range(3):
            answer = scanner.get(path, follow=True)
            assert answer.status_code in (200, 404), path  # 404: a photograph's or page's own address
    assert everything() == before


def test_a_scanner_that_follows_what_it_finds_changes_nothing_either(letters: list[bytes]) -> None:
    """Every page within two steps of a private link, and every address that a form there would be sent to, by GET."""
    before, seen = everything(), set[str]()
    for mail in letters:
        scanner = Client()
        for path in sorted(link for link in links_in(mail) if link.startswith("/open/")):
            ahead = [scanner.get(path)["Location"]]
            for _step in range(2):
                fresh = [each for each in dict.fromkeys(ahead) if each not in seen]
                seen.update(fresh)
                pages = [(each, scanner.get(each)) for each in fresh]
                ahead = [
                    link
                    for each, page in pages
                    if not page.streaming
                    for link in onward(each, page.content.decode())
                ]
    assert any("/quote/" in path for path in seen)
    assert any("/warranty/" in path for path in seen)
    assert everything() == before


def test_the_owners_own_pages_change_nothing_by_being_looked_at(cast: Cast, letters: list[bytes]) -> None:
    owner = Client()
    owner.force_login(cast.owner_user)
    Letter.objects.update(text="", html="")
    cast.owner_user.refresh_from_db()
    before, seen, ahead = (
        everything(),
        set[str](),
        ["/office/", "/bench/", "/office/letters/", "/office/staff/", "/office/settings/"],
    )
    for _step in range(2):
        fresh = [each for each in dict.fromkeys(ahead) if each not in seen]
        seen.update(fresh)
        pages = [(each, owner.get(each)) for each in fresh]
        ahead = [
            link for each, page in pages if not page.streaming for link in onward(each, page.content.decode())
        ]
    assert len(seen) > 30
    assert everything() == before


def test_a_change_would_be_seen(cast: Cast) -> None:
    job = cast.job_at(Stage.QUOTED)
    before = everything()
    Client().post("/find/", {"contact": job.shown_ref})
    assert everything() != before
