"""What the technician does with the camera in hand. Each function is one thing that they do."""

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.journeys.visitors import pick, press
from tests.journeys.world import PHOTOS

DEVELOPED = """n => { const all = [...document.querySelectorAll('.shot .thumb img, .small img')];
    return all.length > n && all.every(each => each.complete); }"""


def in_days(days: int) -> str:
    return (datetime.now(UTC) + timedelta(days=days)).date().isoformat()


def log_in(page: Page, username: str, password: str) -> None:
    page.goto("/staff/")
    page.get_by_label("Name you log in with").fill(username)
    page.get_by_label("Password").fill(password)
    press(page, "Log in")
    expect(page.get_by_role("heading", level=1)).not_to_contain_text("Who is at the bench")


def find_job(page: Page, ref: str) -> None:
    page.goto("/bench/")
    page.get_by_label("Find a job").fill(ref)
    page.get_by_role("button", name="Find").click()
    page.wait_for_url(re.compile(r"/bench/\w+/$"))


def send_photograph(page: Page, file: Path) -> None:
    """Taken with the camera key; it goes at once and comes back developed."""
    before = page.locator(".shot .thumb img, .small img").count()
    page.locator("input[data-upload]").set_input_files(file)
    page.wait_for_function(DEVELOPED, arg=before)


def note_arrival(page: Page) -> None:
    press(page, "Note what came")
    for thing in ("A lens", "A case or strap"):
        page.get_by_label(thing).check(force=True)
    page.get_by_label("Loose parts, how many").fill("2")
    page.get_by_label("Condition").fill("Clean outside. Two small screws in a paper bag.")
    send_photograph(page, PHOTOS / "corvane-skerry.jpg")


def begin_finding(page: Page) -> None:
    """A photograph with two marks, and an explanation from the library with this camera's facts."""
    press(page, "Post a finding")
    send_photograph(page, PHOTOS / "spacer-in-gears.jpg")
    mark(page, 0.45, 0.4)
    mark(page, 0.7, 0.62)
    expect(page.locator("svg.marks text")).to_have_count(2)
    page.get_by_label("Search the library").fill("rattles since the top was off")
    page.get_by_role("button", name="Could a small part have fallen").click()
    page.get_by_label("Where it lies").select_option(label="between the winding gears")
    page.get_by_label("Where it belongs").fill("on the shaft of the winding lever")


def mark(page: Page, across: float, down: float) -> None:
    bed = page.locator("[data-marks] .bed").last
    box = bed.bounding_box()
    assert box
    bed.click(position={"x": box["width"] * across, "y": box["height"] * down})


def word_finding(page: Page) -> None:
    page.get_by_label("In one line").fill("A spacer lay between the winding gears")
    page.get_by_label("What we found").fill(
        "The spacer (1) stopped the gears. It belongs on the lever's shaft (2)."
    )
    pick(page, "How sure", "Seen")
    pick(page, "The story", "Earlier repair")
    pick(page, "What it does", "Stops it")


def preview(page: Page) -> None:
    page.get_by_role("button", name="See what").click()
    expect(page.locator("#preview .finding, #preview article").first).to_contain_text("A spacer lay between")


def answer_story(page: Page, answer: str) -> None:
    press(page, "Answer the story")
    page.get_by_label("The answer").fill(answer)
    press(page, "Give this answer")


def give_dates(page: Page) -> None:
    press(page, "Give dates")
    page.get_by_label("Likely by").first.fill(in_days(16))
    page.get_by_label("Almost surely by").fill(in_days(27))
    page.get_by_label("What the dates depend on").fill("if you answer this week")
    press(page, "Give these dates")


def add_line(page: Page, title: str, price: str, need: str, why: str, finding: str = "") -> None:
    page.get_by_label("What it is").fill(title)
    page.get_by_label("Price", exact=True).first.fill(price)
    page.get_by_label("Why").fill(why)
    pick(page, "How much we urge it", need)
    if finding:
        page.get_by_role("checkbox", name=finding).check(force=True)
    press(page, "Add the line")
    expect(page.locator(".drafted")).to_contain_text(title)


def write_quote(page: Page) -> None:
    press(page, "Write the quote")
    found = "A spacer lay between"
    add_line(page, "Free the winding gears", "85", "Needed", "Without this it cannot wind on.", found)
    add_line(page, "New spring for the lever", "18.50", "Advised", "The old one is tired.")
    add_line(page, "New covering on the front", "42", "If you like", "It only looks.")
    press(page, "Add: Insured post home")


def send_quote(page: Page) -> None:
    page.get_by_label("A word to the customer").fill("You did no harm that cannot be put right.")
    press(page, "Send it to")
    expect(page.get_by_role("heading", level=1)).to_contain_text("uoted")


def answer_question(page: Page, answer: str) -> None:
    press(page, "question")
    page.get_by_label("Your answer").fill(answer)
    press(page, "Send it to")


def await_part(page: Page) -> None:
    press(page, "Wait for a part")
    page.get_by_label("Which part").fill("A spring for the winding lever")
    page.get_by_label("From whom").fill("A breaker's drawer in Norrhaven")
    page.get_by_label("Expected on").fill(in_days(9))
    press(page, "We wait for it")


def note_times(page: Page, when: str, **milliseconds: str) -> None:
    """`s60="16.9"`: the mark 1/60 took 16.9 ms."""
    page.goto(f"{page.url.split('?')[0].rstrip('/')}/times/?when={when}")
    for mark_, took in milliseconds.items():
        page.get_by_label(f"1/{mark_[1:]}", exact=True).fill(took)
    press(page, "Note these times")


def note_tests(page: Page) -> None:
    press(page, "Note the tests")
    for test, saw in (
        ("Film transport", "36 frames, even gaps."),
        ("Shutter times", "All within a third of a stop."),
    ):
        pick(page, test, "Content")
        page.get_by_label(f"What we saw: {test}").fill(saw)
    press(page, "Note the tests")


def note_payment(page: Page) -> None:
    """All that is due, which the form begins with."""
    press(page, "Note the payment")
    pick(page, "How it was paid", "Bank transfer")
    press(page, "Note it")
    expect(page.locator("main")).to_contain_text("All is paid.")


def send_home(page: Page) -> None:
    press(page, "Send it home")
    page.get_by_label("Carrier").fill("Saltmere Parcels")
    page.get_by_label("Tracking number").fill("SP 4411")
    press(page, "It is on its way")


def note_delivery(page: Page) -> None:
    press(page, "It has been delivered")
    press(page, "It is home")
