"""A quote with branches in a real browser: sums and objections at once, figures by letter, and the same without scripts."""

import pytest

from jobs.actions import coding
from jobs.actions.linking import issue_link
from jobs.models import Code, Decision
from jobs.words import Stage
from tests.cast import make_cast
from tests.journeys.inspecting import faults
from tests.portal.customer.pages import to
from tests.portal.customer.quotes import line, with_branches
from tests.portal.customer.test_in_a_browser import PHONE

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def cast(transactional_db):
    return make_cast()


@pytest.fixture
def visit(chromium, live_server):
    """`visit(job)`: the quote's page on a device that has just come in by a letter's link."""
    contexts = []

    def come_in(job, **more):
        context = chromium.new_context(viewport=PHONE, base_url=live_server.url, **more)
        contexts.append(context)
        page = context.new_page()
        page.faults = []
        page.on("console", lambda said: page.faults.append(said.text) if said.type == "error" else None)
        page.goto(f"/open/{issue_link(job, made_for=job.customer.email)}")
        page.goto(to("my_quote", job))
        return page

    yield come_in
    for context in contexts:
        context.close()


@pytest.fixture
def job(cast):
    return cast.job_at(Stage.EXAMINING)


@pytest.fixture
def sent(cast, job):
    return with_branches(cast, job)


def choose(page, sent, title, value="yes"):
    page.check(f"[name=line-{line(sent, title).pk}][value={value}]", force=True)


def branch(page, sent, title):
    page.check(f"[value='{line(sent, title).pk}']", force=True)


def sign(page):
    page.check("[name=terms]", force=True)
    page.fill("[name=name]", "Orla Fennimore")
    page.click("button.act")


def test_a_branch_and_a_ceiling_move_figures_and_scale_at_once(job, sent, visit):
    page = visit(job)
    branch(page, sent, "Fit a sound rear lens group")
    page.wait_for_selector("#reckoning:has-text('£158.40')")
    assert "£135 to £213" in page.inner_text("#sofar")
    page.fill("[name=ceiling]", "180")
    page.locator("[name=ceiling]").blur()
    page.wait_for_selector("#reckoning dt:has-text('ceiling')")
    assert "About 7 in 10 stay under your ceiling." in page.inner_text("#reckoning")
    assert page.input_value("[name=ceiling]") == "180"
    assert page.faults == []


def test_a_line_that_needs_another_says_so_at_once_and_until_it_is_put_right(job, sent, visit):
    page = visit(job)
    choose(page, sent, "Test film")
    page.wait_for_selector("#reckoning .error:has-text('needs')")
    choose(page, sent, "Clean and set the slow times")
    page.wait_for_selector("#reckoning:not(:has(.error))")
    assert page.faults == []


def test_a_strange_device_is_led_to_the_figures_and_signs_with_them(job, sent, visit):
    visit(job)
    page = visit(job)
    branch(page, sent, "Fit a sound rear lens group")
    sign(page)
    page.wait_for_selector("#coded")
    assert page.evaluate("document.activeElement.id") == "coded"
    assert page.is_checked(f"[value='{line(sent, 'Fit a sound rear lens group').pk}']")
    page.fill("[name=code]", coding.draw_code(Code.objects.get().pk))
    page.press("[name=code]", "Enter")
    page.wait_for_selector("text=Thank you, Orla.")
    assert Decision.objects.get().highest == 21_300
    assert page.faults == []


def test_without_scripts_branches_ceiling_and_figures_work_as_well(job, sent, visit):
    visit(job)
    page = visit(job, java_script_enabled=False)
    branch(page, sent, "Fit a sound rear lens group")
    page.fill("[name=ceiling]", "180")
    page.click("button[formaction]")
    assert "£158.40" in page.inner_text("#reckoning")
    sign(page)
    page.fill("[name=code]", coding.draw_code(Code.objects.get().pk))
    page.click("button.act")
    assert "Thank you, Orla." in page.inner_text("main")
    assert Decision.objects.get().ceiling == 18_000


def test_axe_finds_no_fault_in_a_quote_that_holds_everything(job, sent, visit):
    page = visit(job, bypass_csp=True)
    choose(page, sent, "Test film")
    page.fill("[name=ceiling]", "1")
    page.click("button.act")
    page.wait_for_selector(".wrongs")
    assert faults(page) == []


@pytest.mark.parametrize("width", [320, 390, 640])
def test_a_quote_that_holds_everything_never_scrolls_sideways(job, sent, visit, width):
    page = visit(job)
    page.set_viewport_size({"width": width, "height": 700})
    branch(page, sent, "Fit a sound rear lens group")
    page.fill("[name=ceiling]", "180.50")
    page.locator("[name=ceiling]").blur()
    page.wait_for_selector("#reckoning dt:has-text('ceiling')")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
