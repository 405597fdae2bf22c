"""What people meet when something does not work: words in place of silence, and the focus where it is of use."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, Route, expect

from jobs.demo.telling import PASSWORD
from tests.journeys import addresses
from tests.journeys import at_home as home
from tests.journeys import at_the_bench as bench
from tests.journeys.addresses import Rows

pytestmark = [pytest.mark.browser, pytest.mark.worker, pytest.mark.slow]

TOTAL = "**/quote/total/"


@pytest.fixture
def rows(demo):
    return Rows(demo.database)


@pytest.fixture
def quote(guests, demo, rows):
    """A customer in front of a quote that can be answered."""
    page = guests.come("phone")
    home.open_letter(page, demo.links()[0])
    page.goto(addresses.customer(rows)["my_quote"])
    return page


@pytest.fixture
def sheet(guests, rows):
    """The technician in front of a finding that is being written."""
    page = guests.come("phone")
    bench.log_in(page, "jory", PASSWORD)
    page.goto(addresses.technician(rows)["bench_finding_new"])
    return page


def choose_another(page: Page) -> None:
    """One answer changed, which asks the server for the new sum."""
    page.locator(".qline input[type=radio]:not(:checked)").first.check(force=True)


def flash_says(page: Page, words: str) -> None:
    expect(page.locator("#flash")).to_contain_text(words)
    expect(page.locator("#flash button")).to_be_visible()


def answer_with(status: int) -> Callable[[Route], None]:
    return lambda route: route.fulfill(status=status, body="no")


def never(route: Route) -> None:
    """The connection hangs."""


def test_an_error_of_ours_is_said(quote):
    quote.route(TOTAL, answer_with(500))
    choose_another(quote)
    flash_says(quote, "Something went wrong on our side")


def test_no_connection_is_said_and_the_next_try_mends_it(quote):
    quote.context.set_offline(True)
    choose_another(quote)
    flash_says(quote, "could not reach the workshop")
    quote.context.set_offline(False)
    quote.locator("#flash button").click()
    expect(quote.locator("#flash")).to_be_empty()


def test_an_answer_that_does_not_come_is_said(quote):
    quote.evaluate("htmx.config.timeout = 200")
    quote.route(TOTAL, never)
    choose_another(quote)
    flash_says(quote, "took too long")


def test_a_customer_whose_session_has_ended_is_told_to_load_the_page_again(quote):
    quote.context.clear_cookies(name="sessionid")
    choose_another(quote)
    flash_says(quote, "open a long time")


def test_staff_whose_session_has_ended_are_led_to_the_door_and_back(sheet):
    sheet.context.clear_cookies(name="sessionid")
    here = sheet.url
    sheet.get_by_role("button", name="See what").click()
    sheet.wait_for_url(re.compile("/staff/"))
    expect(sheet.get_by_label("Name you log in with")).to_be_visible()
    assert "/staff/" not in here


def test_the_focus_goes_to_what_the_customer_reads(sheet):
    sheet.get_by_label("In one line").fill("Oil on the blades")
    sheet.get_by_label("What we found").fill("It has crept there.")
    sheet.get_by_label("Which part of the camera").select_option("aperture")
    for legend, word in (("How sure", "Seen"), ("The story", "Separate"), ("What it does", "Pictures")):
        sheet.get_by_role("group", name=legend).get_by_role("radio", name=word).check(force=True)
    sheet.get_by_role("button", name="See what").click()
    expect(sheet.locator("#preview-title")).to_be_focused()


def test_the_focus_goes_to_what_has_to_be_mended(sheet):
    sheet.get_by_role("button", name="See what").click()
    expect(sheet.locator("#wrongs")).to_be_focused()


def test_the_focus_goes_to_the_empty_question_and_then_to_the_one_that_was_sent(quote):
    asking = quote.locator("details.inquire").first
    asking.locator("summary").click()
    asking.get_by_role("button", name="Send the question").click()
    expect(quote.locator("details.inquire textarea[aria-invalid=true]")).to_be_focused()
    quote.locator("details.inquire textarea[aria-invalid=true]").fill("Does it need this now?")
    asking.get_by_role("button", name="Send the question").click()
    expect(quote.locator("[id^=ask-line-]:focus")).to_contain_text("Does it need this now?")
