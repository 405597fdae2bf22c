"""What a customer does, on their own telephone or computer. Each function is one thing that they do."""

import re
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.journeys.visitors import pick, press
from tests.journeys.world import PHOTOS

STORY = "I had the top off to clean the window, and now the lever goes slack and something rattles. Did I break it?"
PHOTOGRAPHS = [PHOTOS / "corvane-skerry.jpg", PHOTOS / "spacer-in-gears.jpg"]


@dataclass(frozen=True)
class Customer:
    name: str
    email: str

    @property
    def called(self) -> str:
        return self.name.split()[0]


def book(page: Page, who: Customer, script: bool = True) -> str:
    """From the front page to the reference."""
    page.goto("/")
    press(page, "Book")
    fill_in(page, who)
    add_photographs(page, PHOTOGRAPHS, script)
    press(page, "Book it in")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Booked in")
    return page.get_by_role("heading", level=1).inner_text().split()[-1]


def fill_in(page: Page, who: Customer) -> None:
    page.get_by_label("Maker").fill("Corvane")
    page.get_by_label("Model").fill("Skerry")
    pick(page, "What kind is it?", "The same, and two pictures")
    page.get_by_label("What did you notice?").fill(STORY)
    page.get_by_label("When did it begin?").fill("Last Sunday, at the kitchen table")
    pick(page, "Is there film inside?", "No")
    pick(page, "Has anybody had it open?", "Yes")
    page.get_by_label("Your name").fill(who.name)
    page.get_by_label("E-mail").fill(who.email)
    page.get_by_label("Telephone").fill("01632 960142")
    pick(page, "How does it go home?", "By post")
    page.get_by_label("Postal address").fill("3 Quay Lane\nSaltmere")


def add_photographs(page: Page, files: list[Path], script: bool) -> None:
    """With a script they go as soon as they are chosen; without, by a button, and nothing typed is lost."""
    page.get_by_label("Photographs (if you like)").set_input_files(files)
    if not script:
        press(page, "Add these photographs")
    expect(page.locator("#basket li")).to_have_count(len(files))


def open_letter(page: Page, link: str) -> None:
    """The private link leads to the job's page, and its key leaves the address bar."""
    page.goto(link)
    page.wait_for_url(re.compile(r"/my/[\w-]+/$"))


def say_posted(page: Page) -> None:
    page.get_by_role("link", name="I have posted it").click()
    page.get_by_label("Who carries it?").fill("Saltmere Parcels, SP 4411")
    press(page, "It is on its way")
    expect(page.locator(".told")).to_contain_text("Thank you")


def ask_about_line(page: Page, line: str, question: str) -> None:
    """From where the line stands on the quote."""
    asking = page.locator("details.inquire").filter(has_text=line)
    asking.locator("summary").click()
    asking.get_by_label("Your question").fill(question)
    asking.get_by_role("button", name="Send the question").click()
    expect(page.get_by_text(question)).to_be_visible()


def sum_shown(page: Page) -> str:
    return page.locator("#reckoning tfoot td").inner_text().strip()


def choose(page: Page, line: str, yes: bool) -> None:
    asked = page.locator("fieldset.qline").filter(has_text=line)
    asked.get_by_role("radio", name="Yes, do it" if yes else "No, leave it").check(force=True)


def sign(page: Page, name: str) -> None:
    page.get_by_label("I have read these terms").check(force=True)
    page.get_by_label("Your full name, typed by you").fill(name)
    press(page, "Agree to the work and to pay for it")
    expect(page.locator(".told")).to_contain_text("Thank you")


def claim(page: Page, story: str) -> str:
    """Asks whether it is covered, and opens a claim from the answer; answers the reference of the new job."""
    before = page.url
    page.get_by_label("In your own words").fill(story)
    press(page, "Tell me")
    expect(page.locator(".answered")).to_contain_text(story)
    expect(page.locator(".answered .answer")).to_be_visible()
    page.locator(".answered").get_by_role("button", name="Start a claim").click()
    page.wait_for_url(lambda url: url != before and "/warranty" not in url)
    return page.url.rstrip("/").split("/")[-1]
