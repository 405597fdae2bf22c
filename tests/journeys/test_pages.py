"""Every page of the furnished workshop, as everybody who may see it."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

import pytest
from django.urls import get_resolver
from playwright.sync_api import Page

from jobs.demo.telling import PASSWORD
from tests.journeys import addresses
from tests.journeys import at_the_bench as bench
from tests.journeys.addresses import Rows
from tests.journeys.inspecting import inspect
from tests.journeys.visitors import Visitors, press
from tests.journeys.world import World
from tests.services import wait_until

pytestmark = [pytest.mark.browser, pytest.mark.worker, pytest.mark.slow]


@dataclass
class Eyes:
    """One person's browser, and what they may open."""

    page: Page
    visitors: Visitors
    rows: Rows

    def look(self, pages: dict[str, str]) -> str:
        """What is wrong, page by page."""
        return "\n".join(
            f"{name}: {each}" for name, address in pages.items() for each in self.wrongs_at(address)
        )

    def wrongs_at(self, address: str) -> list[str]:
        self.visitors.wrongs.clear()
        answer = self.page.goto(address)
        assert answer, address
        found = [] if answer.status == 200 else [f"answered {answer.status}"]
        return found + inspect(self.page) + self.visitors.wrongs


@cache
def rows_of(world: World) -> Rows:
    return Rows(world.database)


@pytest.fixture
def eyes(guests: Visitors, demo: World) -> Callable[..., "Eyes"]:
    def open_them(username: str = "", links: bool = False) -> Eyes:
        page = guests.come("phone", is_mobile=False, has_touch=False)
        if username:
            bench.log_in(page, username, PASSWORD)
        for link in demo.links() if links else []:
            page.goto(link)
        return Eyes(page, guests, rows_of(demo))

    return open_them


def test_nobody_meets_anything_broken(eyes, demo):
    seen = eyes()
    letters = sorted((demo.var / "letterbox").glob("*.eml"))
    found = [(one, re.search(rb"/letters-off/[^/\s]+/", one.read_bytes())) for one in letters]
    letter, off = next((one, off) for one, off in reversed(found) if off)
    pages = {"letterbox_mail": f"/letterbox/{letter.name}/", "letters_off": off[0].decode()}
    pages |= addresses.anybody(seen.rows)
    assert seen.look(pages) == ""


def test_a_customer_meets_nothing_broken(eyes):
    seen = eyes(links=True)
    assert seen.look(addresses.customer(seen.rows)) == ""


def test_the_technician_meets_nothing_broken(eyes):
    seen = eyes("jory")
    pages = addresses.technician(seen.rows)
    assert seen.look(pages | {"bench_quote_line": a_drafted_line(seen.page, pages["bench_quote"])}) == ""


def a_drafted_line(page: Page, quote: str) -> str:
    page.goto(quote)
    if page.locator(".drafted").count() == 0:
        bench.add_line(page, "Take the old foam out", "35", "Needed", "It crumbles.")
    return str(page.locator(".drafted a").first.get_attribute("href"))


def test_the_owner_meets_nothing_broken(eyes):
    seen = eyes("hester")
    assert seen.look(addresses.owner(seen.rows)) == ""


def test_what_cannot_be_done_is_said_well(eyes):
    """Pages that refuse are pages too."""
    seen = eyes()
    for address in (
        "/nowhere/",
        "/open/j_not-a-key",
        f"/my/{seen.rows.ref('quoted')}/",
        "/letters-off/no-token/",
    ):
        seen.page.goto(address)
        assert (address, inspect(seen.page)) == (address, [])


MISTAKES = [
    ("", "/book/", "Book it in"),
    ("", "/find/", "main button"),
    ("", "/staff/", "Log in"),
    ("customer", "my_quote", "Agree to the work"),
    ("customer", "my_questions", "Send the question"),
    ("customer", "my_warranty", "Tell me"),
    ("customer", "my_leave", "main button.act"),
    ("jory", "bench_finding_new", "Post to"),
    ("jory", "bench_part", "We wait for it"),
    ("jory", "bench_promise", "Give these dates"),
    ("jory", "bench_quote", "Add the line"),
    ("hester", "office_staff", "Take on"),
]


def test_what_has_to_be_mended_is_said_well(eyes):
    """An empty form, sent: the page that comes back, where the focus is, and that it can be read."""
    people = {"": eyes(), "customer": eyes(links=True), "jory": eyes("jory"), "hester": eyes("hester")}
    rows = people[""].rows
    pages = addresses.customer(rows) | addresses.technician(rows) | addresses.owner(rows)
    found = [
        wrongs_after_mistake(people[who].page, pages.get(where, where), words)
        for who, where, words in MISTAKES
    ]
    assert "\n".join(wrong for each in found for wrong in each) == ""


def wrongs_after_mistake(page: Page, address: str, words: str) -> list[str]:
    page.goto(address)
    with page.expect_response(lambda answer: answer.request.method == "POST") as sent:
        page.locator(words).first.click() if words.startswith("main") else press(page, words)
    page.wait_for_load_state()
    found = inspect(page)
    if sent.value.status != 422:
        found.append(f"answered {sent.value.status}")
    if not page.evaluate("document.activeElement.matches('[data-autofocus], [aria-invalid=true]')"):
        found.append("the focus is elsewhere")
    return [f"{address}: {each}" for each in found]


BROKEN = """<main><img src="data:,"><p id="a">one</p><p id="a">two</p><input><p style="width: 900px; color: #999">wide, pale</p></main>"""


def test_what_is_broken_is_seen(guests):
    """The inspection itself is tried on a page with one of each fault."""
    page = guests.come(bypass_csp=True)
    page.goto("/asked/")
    page.set_content(BROKEN)
    found = " ".join(inspect(page))
    for fault in (
        "picture without size",
        "same id twice",
        "wider than 320",
        "color-contrast",
        "label",
        "at a desk, dark",
    ):
        assert fault in found, fault


def test_who_answers_a_letter_of_the_demo_finds_the_answer_at_the_bench(eyes, demo):
    seen = eyes("jory")
    seen.page.goto("/letterbox/")
    seen.page.get_by_role("link", name="something we found").first.click()
    seen.page.wait_for_url("**.eml/")
    # By the link to the form: a press in the moment of a jump past the letter's frame would be lost in the frame.
    assert wrongs_after_mistake(seen.page, f"{seen.page.url}#answer", "Send the answer") == []
    ref = re.search(r"\((\w{4}-\w{3})\)", seen.page.locator("h1").inner_text())[1]
    seen.page.get_by_label("Your answer").fill("Thank you. Will the new foam last?")
    press(seen.page, "Send the answer")
    assert "on its way to the bench" in seen.page.locator(".told").inner_text()
    asked = "SELECT count(*) FROM jobs_question WHERE text = 'Thank you. Will the new foam last?'"
    wait_until(lambda: seen.rows.one(asked) == 1, 20, "the question")
    seen.page.goto(f"/bench/{ref}/")
    assert seen.page.get_by_text("Will the new foam last?").first.is_visible()
    wait_until(demo.all_is_sent, 30, "the letter to the workshop")  # others look at rows that stand still


IN_A_TEST = {"letterbox_mail", "letters_off", "bench_quote_line"}


def test_no_page_is_forgotten(demo):
    named = {pattern.name for pattern in patterns(get_resolver().url_patterns) if pattern.name}
    rows = rows_of(demo)
    lists = (addresses.anybody, addresses.customer, addresses.technician, addresses.owner)
    seen = {name.partition(",")[0] for each in lists for name in each(rows)}
    assert named - seen - set(addresses.NO_PAGE) - IN_A_TEST == set()


def patterns(found: list[Any]) -> Iterator[Any]:
    for each in found:
        if hasattr(each, "url_patterns"):
            if getattr(each, "namespace", None) != "admin":
                yield from patterns(each.url_patterns)
        else:
            yield each
