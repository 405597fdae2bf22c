"""Before you post it, in a real browser on a telephone: a look that settles it, and one that does not. The library chooses the look."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.journeys import at_home as home
from tests.journeys import at_the_bench as bench
from tests.journeys import in_the_office as office
from tests.journeys.at_home import PHOTOGRAPHS, Customer
from tests.journeys.inspecting import inspect
from tests.journeys.visitors import Visitors, pick, press, shoot

pytestmark = [pytest.mark.browser, pytest.mark.worker, pytest.mark.slow]

STORY = "The rewind button pops up again each time I press it, so I cannot wind the film back."
ASKED = "rewind button"
SETTLED = re.compile(r"(\w+) cameras? (?:was|were) settled at home this month")


def tell(people: Visitors, who: Customer, script: bool = True) -> Page:
    """The form filled in and sent: the page of the look."""
    page = people.come("phone", java_script_enabled=script)
    page.goto("/book/")
    home.fill_in(page, who)
    page.get_by_label("What did you notice?").fill(STORY)
    home.add_photographs(page, PHOTOGRAPHS[:1], script)
    press(page, "Book it in")
    expect(page.get_by_role("heading", level=1)).to_have_text("Before you post it")
    return page


def answer(page: Page, words: str) -> None:
    """The same answer to each look that is offered."""
    for looked in page.get_by_role("radio", name=words).all():
        looked.check(force=True)
    press(page, "Go on")


def settled_so_far(people: Visitors) -> str:
    """What the office says about this month, in a word."""
    page = people.come()
    bench.log_in(page, office.OWNER, office.PASSWORD)
    page.goto("/office/")
    found = SETTLED.search(page.locator("main").inner_text())
    return found[1].lower() if found else "none"


@pytest.mark.parametrize("script", [True, False], ids=["script", "no-script"])
def test_a_look_settles_it_and_nothing_is_booked(people, workshop, script):
    before = settled_so_far(people)
    page = tell(people, Customer("Marchbank Lorne", "marchbank@example.org"), script)
    expect(page.locator("main")).to_contain_text(ASKED)
    expect(page.locator(".check .drawn svg").first).to_be_visible()
    shoot(page, f"before-posting-{'script' if script else 'bare'}")
    found = inspect(page) if script else []
    answer(page, "That was it")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Nothing is booked")
    found += inspect(page) if script else []
    assert found + people.wrongs == []
    assert settled_so_far(people) != before
    assert workshop.world.post.to("marchbank@example.org", "") == []


def test_still_the_same_books_and_both_sides_read_it(people, workshop):
    page = tell(people, Customer("Isolde Tarrant", "isolde@example.net"))
    answer(page, "Still the same")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Booked in")
    ref = page.get_by_role("heading", level=1).inner_text().split()[-1]
    press(page, "To your page")
    expect(page.locator("main")).to_contain_text("Still the same.")
    shoot(page, "before-posting-my")
    technician = people.come("phone")
    bench.log_in(technician, workshop.technician, workshop.password)
    bench.find_job(technician, ref)
    expect(technician.locator("main")).to_contain_text("Looked at before posting")
    shoot(technician, "before-posting-bench")
    assert people.wrongs == [], "\n".join(people.wrongs)


def test_what_was_typed_can_be_mended_below_the_look(people):
    page = tell(people, Customer("Corin Ashdown", "corin@example.org"))
    page.locator("#told summary").click()
    page.get_by_label("E-mail").fill("corin at example")
    answer(page, "I would rather not try")
    expect(page.locator("#told")).to_have_attribute("open", "")
    page.get_by_label("E-mail").fill("corin@example.org")
    pick(page, "What came of it?", "I would rather not try")
    press(page, "Go on")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Booked in")
