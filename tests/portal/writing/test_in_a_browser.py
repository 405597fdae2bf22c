"""The editor in a real browser: an entry is edited, an old job keeps its old text, a new finding gets the new one."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from jobs.actions.linking import issue_link
from jobs.models import ExplanationVersion, Job
from tests.cast import Cast, make_cast
from tests.own_text import COUNTER
from tests.portal.writing.conftest import to

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

FACTS = {"frame": "22", "cover": "off"}
OURS = "Under the numbers is a wheel that somebody put back wrongly {mark:2}. At {frame} {mark:1} it meets a catch {mark:3}."
SHOWN = "a wheel that somebody put back wrongly"
SIZES = [{"width": 390, "height": 844}, {"width": 1280, "height": 800}]


@pytest.fixture
def cast(transactional_db: None) -> Cast:
    return make_cast()


@pytest.fixture
def old(cast: Cast) -> Job:
    job = cast.job_at("examining")
    cast.post_finding(job, explanation=COUNTER, facts=FACTS)
    return job


@pytest.fixture
def open_browser(chromium: Any, live_server: Any) -> Iterator[Callable[..., Any]]:
    """`open_browser(member)`: somebody's browser, logged in or not. What it complains about fails the test."""
    complaints: list[str] = []
    contexts = []

    def take_out(member: Any = None, size: dict[str, int] = SIZES[0], scripts: bool = True) -> Any:
        context = chromium.new_context(viewport=size, java_script_enabled=scripts, base_url=live_server.url)
        if member:
            browser = Client()
            browser.force_login(member)
            cookie = browser.cookies["sessionid"].value
            context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
        page = context.new_page()
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on(
            "console", lambda said: complaints.append(said.text) if "Content Security" in said.text else None
        )
        contexts.append(context)
        return page

    yield take_out
    for context in contexts:
        context.close()
    assert complaints == []


def explained(page: Any, job: Job) -> str:
    page.goto(reverse("my_explained", args=[job.ref, job.findings.get().pk]))
    return str(page.locator("main").inner_text())


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_an_entry_is_edited_and_an_old_job_keeps_its_old_text(
    cast: Cast, old: Job, open_browser: Callable[..., Any], scripts: bool
) -> None:
    orla = open_browser()
    orla.goto(reverse("open_link", args=[issue_link(old)]))
    before = explained(orla, old)

    jory = open_browser(cast.technician_user, scripts=scripts)
    jory.goto(to("library_entry"))
    jory.get_by_role("link", name="Write our own version").click()
    jory.get_by_label("What is happening").fill(OURS)
    jory.get_by_label("What changed").fill("Shorter")
    jory.locator("#see").click()
    jory.locator("#preview").wait_for()
    assert SHOWN in jory.locator("#preview").inner_text()
    jory.get_by_role("button", name="Put in use").click()
    jory.wait_for_url(f"**{to('library_entry')}")

    assert SHOWN in jory.locator("main").inner_text()
    assert explained(orla, old) == before
    assert SHOWN not in before


def test_a_new_finding_gets_the_new_text(cast: Cast, old: Job, open_browser: Callable[..., Any]) -> None:
    jory = open_browser(cast.technician_user)
    jory.goto(to("library_edit"))
    jory.get_by_label("What is happening").fill(OURS)
    jory.get_by_role("button", name="Put in use").click()
    jory.wait_for_url(f"**{to('library_entry')}")

    new = cast.job_at("examining", cast.another_book())
    cast.post_finding(new, explanation=COUNTER, facts=FACTS)
    anselm = open_browser()
    anselm.goto(reverse("open_link", args=[issue_link(new)]))
    assert SHOWN in explained(anselm, new)


def test_what_is_wrong_takes_the_focus_and_leads_to_its_field(
    cast: Cast, open_browser: Callable[..., Any]
) -> None:
    jory = open_browser(cast.technician_user)
    jory.goto(to("library_edit"))
    jory.get_by_label("What owners may notice").fill("Only one line")
    jory.locator("#see").click()
    jory.locator("#wrongs").wait_for()
    jory.wait_for_function("document.activeElement.id === 'wrongs'")
    jory.locator("#wrongs a").first.click()
    assert jory.evaluate("document.activeElement.id") == "id_notice"


def test_enter_in_a_field_saves_nothing(cast: Cast, open_browser: Callable[..., Any]) -> None:
    jory = open_browser(cast.technician_user)
    jory.goto(to("library_edit"))
    jory.get_by_label("Title").press("Enter")
    jory.locator("#preview").wait_for()
    assert not ExplanationVersion.objects.exists()


@pytest.mark.parametrize("size", SIZES, ids=["phone", "desk"])
def test_no_page_of_the_editor_is_wider_than_its_screen(
    cast: Cast, old: Job, open_browser: Callable[..., Any], size: dict[str, int]
) -> None:
    jory = open_browser(cast.technician_user, size)
    jory.goto(to("library_edit"))
    jory.get_by_label("What is happening").fill(OURS)
    jory.get_by_role("button", name="Keep as a draft").click()
    jory.wait_for_load_state()
    for page in (
        reverse("library"),
        to("library_entry"),
        to("library_edit") + "?checked",
        to("library_history"),
        to("library_version", COUNTER, 1),
        to("library_back"),
        reverse("library_new"),
    ):
        jory.goto(page)
        assert jory.evaluate("document.documentElement.scrollWidth") <= size["width"], page
