"""What only a real browser shows: a letter in its frame can do nothing, its link still opens the page, and pages have no faults."""

from collections.abc import Callable, Iterator
from email.message import EmailMessage
from pathlib import Path
from typing import Any

import pytest

from jobs.actions.linking import issue_link
from jobs.words import Stage
from portal import state
from portal.letterbox import keep
from tests.cast import Cast, make_cast
from tests.journeys.inspecting import faults
from tests.services import wait_until

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SIZES = {"phone": {"width": 390, "height": 844}, "desk": {"width": 1280, "height": 800}}
# A picture of one dark dot, so that a browser has something to show.
DOT = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108000000003a7e9b550000000a49444154789c6360000000020001"
    "48afa4710000000049454e44ae426082"
)


@pytest.fixture
def cast(transactional_db: None) -> Cast:
    return make_cast()


@pytest.fixture
def visit(chromium: Any, live_server: Any) -> Iterator[Callable[..., Any]]:
    contexts = []

    def come_in(**more: Any) -> Any:
        context = chromium.new_context(**{"viewport": SIZES["phone"], "base_url": live_server.url} | more)
        contexts.append(context)
        page = context.new_page()
        page.faults = []
        page.on("console", lambda said: page.faults.append(said.text) if said.type == "error" else None)
        return page

    yield come_in
    for context in contexts:
        context.close()


def letter(key: str, home: str) -> bytes:
    mail = EmailMessage()
    mail["From"], mail["To"], mail["Subject"] = "bench@example.org", "orla@example.org", "It arrived safely"
    mail.set_content("Dear Orla,")
    mail.add_alternative(
        f'<html><head><title>x</title></head><body style="color: rgb(1, 2, 3)"><a href="{home}/open/{key}">Open your page</a>'
        '<img id="inside" src="cid:one@here"><img src="/static/portal/mark.svg"><script>parent.document.title = "taken"</script>'
        "</body></html>",
        subtype="html",
    )
    mail.get_payload()[1].add_related(DOT, "image", "png", cid="<one@here>")
    return mail.as_bytes()


@pytest.fixture
def framed(cast: Cast, visit: Callable[..., Any], settings: Any, tmp_path: Path, live_server: Any) -> Any:
    """The page of a letter that tries a few things."""
    settings.DEMO, settings.LETTERBOX_DIR = True, tmp_path / "letterbox"
    job = cast.job_at(Stage.ARRIVED)
    name = keep(settings.LETTERBOX_DIR, letter(issue_link(job), live_server.url))
    page = visit(viewport=SIZES["desk"])
    page.goto(f"/letterbox/{name}/")
    page.job = job
    return page


def test_a_letter_in_its_frame_shows_its_own_picture_and_styles(framed: Any) -> None:
    frame = framed.frame_locator("iframe")
    assert frame.locator("#inside").evaluate("img => img.naturalWidth") == 1
    assert frame.locator("body").evaluate("body => getComputedStyle(body).color") == "rgb(1, 2, 3)"


def test_a_letter_in_its_frame_runs_nothing_and_loads_nothing(framed: Any) -> None:
    assert framed.title() == "It arrived safely"
    assert framed.frame_locator("iframe").locator("img:not(#inside)").evaluate("img => img.naturalWidth") == 0
    assert any("frame" in fault or "sandbox" in fault or "script" in fault for fault in framed.faults)


def test_the_link_in_a_letter_opens_the_page_in_the_whole_window(framed: Any) -> None:
    framed.frame_locator("iframe").get_by_text("Open your page").click()
    framed.wait_for_url(f"**/my/{framed.job.shown_ref}/")
    assert framed.locator("h1").inner_text() == "It is our move."


@pytest.mark.parametrize("size", sorted(SIZES))
def test_pages_that_say_what_is_wrong_have_no_faults_themselves(
    cast: Cast, visit: Callable[..., Any], size: str
) -> None:
    page = visit(viewport=SIZES[size], bypass_csp=True)
    page.goto("/open/j_nothing")
    assert faults(page) == []
    page.goto("/find/")
    page.fill("[name=contact]", "4TM7-QKX")
    page.click("button.act")
    assert page.locator("[aria-invalid=true]").count() == 1
    assert faults(page) == []
    page.goto("/staff/")
    page.click("button.act")
    assert faults(page) == []


@pytest.mark.parametrize("size", sorted(SIZES))
def test_the_first_page_of_a_workshop_has_no_faults(
    transactional_db: None, visit: Callable[..., Any], size: str
) -> None:
    key = state.var_dir() / "first-run-key"
    state.replace_secret(key, "a key for this test")
    page = visit(viewport=SIZES[size], bypass_csp=True)
    page.goto("/first-run/")
    assert faults(page) == []
    page.click("button.act")
    wait_until(lambda: page.evaluate("document.activeElement.className") == "wrongs", what="the focus")
    assert faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= SIZES[size]["width"]
    key.unlink()


@pytest.mark.parametrize("size", sorted(SIZES))
def test_the_owner_nudges_from_a_sheet_without_faults(
    cast: Cast, visit: Callable[..., Any], size: str
) -> None:
    cast.job_at(Stage.QUOTED)
    cast.job_at(Stage.IN_WORK)
    page = visit(viewport=SIZES[size], bypass_csp=True)
    page.goto("/staff/?next=/office/")
    page.fill("[name=username]", "hester")
    page.fill("[name=password]", "a-long-password-1")
    page.click("button.act")
    assert faults(page) == []
    page.click("text=Nudge now")
    page.wait_for_selector("text=A reminder to Orla Fennimore is on its way.")
    assert page.evaluate("document.documentElement.scrollWidth") <= SIZES[size]["width"]
    assert page.faults == []
