"""The bench in a real browser: photographs on their way, marks by tapping, and how quickly a finding is posted."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from jobs.actions.finding import Draft, keep
from jobs.actions.photo import add_photo, photo_is_ready
from jobs.darkroom import store
from jobs.darkroom.process import Developed, develop
from jobs.models import Finding, Job, Photo
from tests.cast import Cast, make_cast
from tests.jobs.darkroom import pictures
from tests.services import wait_until

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PHONE = {"width": 390, "height": 844}
STORY = "It stops winding at number 22 every time."


@pytest.fixture
def cast(transactional_db: None) -> Cast:
    return make_cast()


@pytest.fixture
def job(cast: Cast) -> Job:
    return cast.job_at("examining", story=STORY, traits=["frame_counter", "lever_advance", "film_135"])


@pytest.fixture
def bench(cast: Cast, chromium: Any, live_server: Any) -> Iterator[Callable[..., Any]]:
    """`bench(scripts=True)`: Jory's phone. What the browser complains about fails the test."""
    complaints: list[str] = []
    contexts = []

    def take_out(scripts: bool = True) -> Any:
        browser = Client()
        browser.force_login(cast.technician_user)
        context = chromium.new_context(viewport=PHONE, java_script_enabled=scripts, base_url=live_server.url)
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


def hang(job: Job) -> Photo:
    photo = add_photo(
        store.keep_incoming([pictures.saved(pictures.quarters(1600, 1200))]), "finding", job=job
    )
    done = develop(photo.incoming)
    assert isinstance(done, Developed)
    photo_is_ready(photo, width=done.width, height=done.height, sizes=done.sizes)
    return photo


def files(folder: Path, *contents: bytes) -> list[str]:
    paths = [folder / f"IMG_{n:04}.jpg" for n in range(len(contents))]
    for path, content in zip(paths, contents, strict=True):
        path.write_bytes(content)
    return [str(path) for path in paths]


def new(job: Job) -> str:
    return reverse("bench_finding_new", args=[job.ref])


def posted() -> Finding | None:
    return Finding.objects.filter(state="posted").first()


@pytest.mark.worker
def test_photographs_go_at_once_wait_become_ready_and_are_marked_by_tapping(
    bench: Callable[..., Any], job: Job, start_worker: Callable[..., Any], tmp_path: Path
) -> None:
    page = bench()
    page.goto(new(job))
    sent = files(
        tmp_path, pictures.saved(pictures.quarters(1600, 1200)), pictures.saved(pictures.quarters(1200, 1600))
    )
    page.set_input_files("input[data-upload]", sent)
    page.wait_for_selector(".shot.waits >> nth=1")
    start_worker("media")
    page.wait_for_selector(".shot[data-marks] >> nth=1", state="attached", timeout=30_000)
    bed = page.locator(".shot:has(:checked) .bed img").bounding_box()
    page.mouse.click(bed["x"] + bed["width"] / 2, bed["y"] + bed["height"] / 2)
    page.click(".suggested button >> nth=0")
    page.fill("[name=fact-frame]", "22")
    page.select_option("[name=fact-cover]", "off")
    page.click(".post .act")
    page.wait_for_selector("text=Posted. Orla gets a letter.")
    finding = wait_until(posted)
    assert finding.photos.count() == 2
    mark = next(photo for photo in finding.photos.all() if photo.marks.exists()).marks.get()
    assert (abs(mark.x - 500) < 5, abs(mark.y - 500) < 5) == (True, True)


def test_a_photograph_that_cannot_be_taken_says_why_and_can_be_left_out(
    bench: Callable[..., Any], job: Job, tmp_path: Path
) -> None:
    page = bench()
    page.goto(new(job))
    page.set_input_files("input[data-upload]", files(tmp_path, pictures.NOT_PHOTOGRAPHS["gif"]))
    page.wait_for_selector(".shot.failed >> text=This is not a photo that we can open.")
    page.click("[data-remove]")
    assert page.locator(".shot").count() == 0


def test_a_lost_connection_is_told_and_the_photograph_sent_again(
    bench: Callable[..., Any], job: Job, tmp_path: Path
) -> None:
    page = bench()
    page.goto(new(job))
    page.route("**/photos/", lambda route: route.abort(), times=1)
    page.set_input_files("input[data-upload]", files(tmp_path, pictures.saved(pictures.quarters())))
    page.wait_for_selector(".shot.failed >> text=The connection was lost.")
    page.click(".shot.failed button")
    page.wait_for_selector(".shot.waits[id]")
    assert job.photos.count() == 1


def test_a_photograph_that_our_side_could_not_take_says_so(
    bench: Callable[..., Any], job: Job, tmp_path: Path
) -> None:
    page = bench()
    page.goto(new(job))
    page.route("**/photos/", lambda route: route.fulfill(status=413, body="too large"))
    page.set_input_files("input[data-upload]", files(tmp_path, pictures.saved(pictures.quarters())))
    page.wait_for_selector(".shot.failed >> text=That is too large to send.")


def test_a_finding_posted_while_a_photograph_is_on_its_way_waits_for_it(
    bench: Callable[..., Any], job: Job, tmp_path: Path
) -> None:
    page = bench()
    page.goto(new(job))
    page.fill("[name=title]", "A screw had dropped")
    for name, value in (("certainty", "seen"), ("bearing", "explains"), ("effect", "stops")):
        page.check(f"[name={name}][value={value}]", force=True)
    page.select_option("[name=mechanism]", "transport")
    cdp = page.context.new_cdp_session(page)
    slow = {"offline": False, "latency": 100, "downloadThroughput": 300_000, "uploadThroughput": 60_000}
    cdp.send("Network.emulateNetworkConditions", slow)
    page.set_input_files("input[data-upload]", files(tmp_path, pictures.grain(600, 450)))
    wait_until(lambda: page.evaluate("document.querySelector('progress')?.value > 0"))
    page.click(".post .act")
    page.wait_for_selector("text=Posted.", timeout=20_000)
    assert posted().photos.count() == 1


def test_marks_typed_as_numbers_are_drawn_and_the_last_is_taken_back(
    bench: Callable[..., Any], job: Job
) -> None:
    photo = hang(job)
    page = bench()
    page.goto(new(job))
    page.click(".numbers summary")
    for axis, value in (("x1", "300"), ("y1", "400"), ("x2", "600"), ("y2", "700")):
        page.fill(f"[name='{photo.uid.hex}-{axis}']", value)
    assert page.locator(".shot svg.marks text").all_text_contents() == ["1", "2"]
    page.click("[data-unmark]")
    assert page.locator(".shot svg.marks text").all_text_contents() == ["1"]


def test_typing_searches_and_enter_takes_the_first_and_the_focus_goes_to_its_facts(
    bench: Callable[..., Any], job: Job
) -> None:
    page = bench()
    page.goto(new(job))
    page.focus("#look")
    page.keyboard.type("haze")
    page.keyboard.press("Enter")
    page.wait_for_selector("[name=fact-surfaces]")
    page.wait_for_selector("[name=fact-surfaces]:focus")
    assert page.input_value("[name=mechanism]") == "lens"
    assert page.is_checked("[name=certainty][value=untried]")


def test_the_arrows_walk_through_what_was_found_and_back_to_the_search(
    bench: Callable[..., Any], job: Job
) -> None:
    page = bench()
    page.goto(new(job))
    page.keyboard.press("Control+k")
    page.keyboard.type("lens")
    page.keyboard.press("ArrowDown")
    page.wait_for_selector("#suggested[data-looked=lens] #suggested-1:focus")
    page.keyboard.press("ArrowDown")
    page.wait_for_selector("#suggested-2:focus")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    page.wait_for_selector("#look:focus")
    page.keyboard.press("ArrowDown")
    page.keyboard.type("es")
    page.wait_for_selector("#suggested[data-looked=lenses]")
    assert page.evaluate("document.activeElement.id") == "look"


def test_what_the_arrows_chose_is_taken_and_the_focus_goes_to_its_first_fact(
    bench: Callable[..., Any], job: Job
) -> None:
    page = bench()
    page.goto(new(job))
    page.keyboard.press("Control+k")
    page.keyboard.type("lens")
    page.wait_for_selector("#suggested[data-looked=lens] #suggested-2")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    chosen = page.get_attribute("#suggested-2", "value")
    page.keyboard.press("Enter")
    page.wait_for_selector(f"[name=was][value='{chosen}']", state="attached")
    asked = page.locator(".facts-asked input, .facts-asked select").first
    assert asked.evaluate("field => field === document.activeElement")


def test_a_search_on_a_kept_finding_puts_its_answer_on_that_finding(
    bench: Callable[..., Any], job: Job
) -> None:
    kept = keep(job, Draft("lens", "", "", "", title="Looks milky"))
    page = bench()
    page.goto(reverse("bench_finding", args=[job.ref, kept.pk]))
    page.keyboard.press("Control+k")
    page.keyboard.type("counter stops at one number")
    page.keyboard.press("Enter")
    page.wait_for_selector("[name=fact-frame]:focus")
    page.click("button[value=keep]")
    page.wait_for_selector("text=Kept for later.")
    assert [(one.pk, one.explanation) for one in job.findings.all()] == [
        (kept.pk, "counter/stops-at-one-number")
    ]


def test_a_finding_is_posted_by_keyboard_alone_in_under_ten_interactions(
    bench: Callable[..., Any], job: Job
) -> None:
    """From the sheet with its photograph to the letter. An interaction is one key or chord, or one field typed into."""
    hang(job)
    page = bench()
    page.goto(new(job))
    interactions = 0

    def press(key: str) -> None:
        nonlocal interactions
        page.keyboard.press(key)
        interactions += 1

    def type_into(selector: str, words: str) -> None:
        nonlocal interactions
        page.wait_for_selector(f"{selector}:focus")
        page.keyboard.type(words)
        interactions += 1

    press("Control+k")
    type_into("#look", "stops at the same numbr")
    press("ArrowDown")
    page.wait_for_selector("#suggested-1:focus")
    press("Enter")
    type_into("[name=fact-frame]", "22")
    press("Tab")
    press("ArrowDown")
    press("Control+Enter")
    page.wait_for_selector("text=Posted. Orla gets a letter.")
    assert posted().facts["frame"] == "22"
    assert interactions < 10, interactions


def test_a_finding_is_posted_from_the_keyboard_in_a_dozen_presses(
    bench: Callable[..., Any], job: Job
) -> None:
    """From the sheet with its photograph to the letter: the library's first suggestion and its two facts, key by key."""
    hang(job)
    page = bench()
    page.goto(new(job))
    presses = ["Control+k", "ArrowDown", "Enter"]
    for key in presses:
        page.keyboard.press(key)
    page.wait_for_selector("[name=fact-frame]:focus")
    facts = ["2", "2", "Tab", "ArrowDown", "Control+Enter"]
    for key in facts:
        page.keyboard.press(key)
    page.wait_for_selector("text=Posted. Orla gets a letter.")
    assert posted()
    assert len(presses + facts) <= 12


def test_a_finding_is_posted_with_five_touches(bench: Callable[..., Any], job: Job) -> None:
    hang(job)
    page = bench()
    page.goto(new(job))
    page.click(".suggested button >> nth=0")
    page.fill("[name=fact-frame]", "22")
    page.select_option("[name=fact-cover]", "off")
    page.click(".post .act")
    page.wait_for_selector("text=Posted. Orla gets a letter.")
    assert posted()


def test_it_all_works_without_a_script(bench: Callable[..., Any], job: Job, tmp_path: Path) -> None:
    page = bench(scripts=False)
    page.goto(new(job))
    page.set_input_files("[name=photos]", files(tmp_path, pictures.saved(pictures.quarters())))
    page.select_option("[name=explanation]", "counter/stops-at-one-number")
    page.click("button[value=use]:text('Use this explanation')")
    page.fill("[name=fact-frame]", "22")
    page.select_option("[name=fact-cover]", "off")
    page.click("button[value=preview]")
    assert "What Orla reads" in page.inner_text("#preview")
    page.click(".post .act")
    page.wait_for_selector("text=Posted. Orla gets a letter.")
    assert posted().photos.count() == 1
