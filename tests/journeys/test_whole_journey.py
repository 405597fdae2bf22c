"""One job from the story to a warranty claim, on a workshop that really runs: web server, workers, broker, mail.

As each of the three people, on a telephone and at a desk; and once more for a customer whose browser runs no scripts.
"""

import time
from decimal import Decimal

import pytest
from playwright.sync_api import Page, expect

from tests.journeys import at_home as home
from tests.journeys import at_the_bench as bench
from tests.journeys import in_the_office as office
from tests.journeys.at_home import Customer
from tests.journeys.inspecting import inspect
from tests.journeys.visitors import press, shoot
from tests.journeys.world import private_link
from tests.services import wait_until

pytestmark = [pytest.mark.browser, pytest.mark.worker, pytest.mark.slow]

WAYS = [
    pytest.param(("phone", "phone", True, Customer("Perdita Vance", "perdita@example.org")), id="phone"),
    pytest.param(("desk", "desk", True, Customer("Osric Tamm", "osric@example.net")), id="desk"),
    pytest.param(("bare", "phone", False, Customer("Linnet Farrow", "linnet@example.org")), id="no-script"),
]
QUESTION = "Do you keep the old spring for me?"
ANSWER = "Yes. It comes home in a small bag."
HALF_TYPED = "One more thing, about the"


class Journey:
    """Three people, their windows, and the job's reference once there is one."""

    def __init__(self, people, workshop, way):
        self.name, size, self.script, self.who = way
        self.post = workshop.world.post
        self.customer = people.come(size, java_script_enabled=self.script)
        self.technician, self.owner = people.come(size), people.come(size)
        bench.log_in(self.technician, workshop.technician, workshop.password)
        bench.log_in(self.owner, office.OWNER, office.PASSWORD)
        self.people, self.size, self.steps = people, size, 0
        self.ref = ""

    def shoot(self, page: Page, step: str) -> None:
        self.steps += 1
        shoot(page, f"{self.name}-{self.steps:02}-{step}")

    def letter(self, about: str):
        return self.post.wait_for(self.who.email, about)

    def my(self, page: str = "") -> None:
        self.customer.goto(f"/my/{self.ref}/{page}")

    def job(self) -> Page:
        bench.find_job(self.technician, self.ref)
        return self.technician


@pytest.fixture(params=WAYS)
def journey(request, people, workshop):
    return Journey(people, workshop, request.param)


def test_one_job_from_the_story_to_a_claim(journey, people):
    book_and_come_back_by_the_letter(journey)
    let_it_arrive(journey)
    examine(journey)
    quote(journey)
    ask_and_be_answered(journey)
    be_chased(journey)
    answer_the_quote(journey)
    wait_for_a_part(journey)
    work_and_test(journey)
    send_it_home(journey)
    call_on_the_warranty(journey)
    assert people.wrongs == [], "\n".join(dict.fromkeys(people.wrongs))


def test_the_owner_sends_a_letter_again_that_did_not_get_through(people, workshop):
    who, post = Customer("Ambrose Teal", "ambrose@example.net"), workshop.world.post
    post.refused_to.add(who.email)
    home.book(people.come(), who)
    owner = people.come()
    bench.log_in(owner, office.OWNER, office.PASSWORD)
    wait_until(lambda: office.has_trouble(owner), what="the refused letter in the office")
    shoot(owner, "office-trouble")
    post.refused_to.clear()
    office.send_failed_letter_again(owner, "how to send it to us")
    post.wait_for(who.email, "how to send it to us")
    assert people.wrongs == []


def book_and_come_back_by_the_letter(journey):
    journey.ref = home.book(journey.customer, journey.who, journey.script)
    journey.shoot(journey.customer, "booked")
    if journey.name == "phone":
        assert inspect(journey.customer) == []
    link = private_link(journey.letter("how to send it to us"))
    journey.customer = journey.people.come(journey.size, java_script_enabled=journey.script)
    home.open_letter(journey.customer, link)
    assert link.rpartition("/")[2] not in journey.customer.url
    home.say_posted(journey.customer)
    journey.shoot(journey.customer, "on-its-way")


def let_it_arrive(journey):
    page = journey.job()
    journey.shoot(page, "bench-expected")
    bench.note_arrival(page)
    journey.shoot(page, "bench-arrival")
    press(page, "It is here")
    journey.letter("it arrived safely")
    journey.my()
    journey.shoot(journey.customer, "arrived")


def examine(journey):
    page = journey.technician
    press(page, "Start the examination")
    bench.begin_finding(page)
    bench.word_finding(page)
    journey.shoot(page, "bench-finding")
    bench.preview(page)
    journey.shoot(page, "bench-preview")
    press(page, "Post to")
    bench.answer_story(
        page, "No. You did not break it. A spacer had come off with the top and stopped the gears."
    )
    journey.letter("something we found")
    journey.my()
    expect(journey.customer.locator("#found")).to_contain_text("between the winding gears")
    journey.shoot(journey.customer, "found")


def quote(journey):
    page = journey.technician
    bench.note_times(page, "before", s60="16.9", s500="3.4")
    journey.shoot(page, "bench-times")
    page = journey.job()
    bench.give_dates(page)
    bench.write_quote(page)
    journey.shoot(page, "bench-quote")
    bench.send_quote(page)
    journey.shoot(page, "bench-quoted")
    letter = journey.letter("what we found, and our quote")
    home.open_letter(journey.customer, private_link(letter))
    journey.shoot(journey.customer, "quoted")


def ask_and_be_answered(journey):
    press(journey.customer, "Read and answer the quote")
    journey.shoot(journey.customer, "quote")
    home.ask_about_line(journey.customer, "New spring for the lever", QUESTION)
    journey.shoot(journey.customer, "asked")
    journey.my()
    journey.customer.get_by_label("Your question").fill(HALF_TYPED)
    mark_the_page(journey)
    page = journey.job()
    bench.answer_question(page, ANSWER)
    notice_the_answer(journey)
    journey.letter("an answer to your question")


def mark_the_page(journey):
    """A page that is loaded again forgets this."""
    if journey.script:
        journey.customer.evaluate("window.stillHere = true")


def notice_the_answer(journey):
    """Within 15 seconds, by itself, and what was being typed stays. Without a script: by the link that looks again."""
    began = time.monotonic()
    if not journey.script:
        press(journey.customer, "Look again for news")
    expect(journey.customer.locator("#live")).to_contain_text(ANSWER, timeout=15_000)
    if journey.script:
        assert time.monotonic() - began < 15
        assert journey.customer.evaluate("window.stillHere")
        expect(journey.customer.get_by_label("Your question")).to_have_value(HALF_TYPED)
    journey.shoot(journey.customer, "answered")


def be_chased(journey):
    """The owner sees who owes an answer and presses once."""
    row = office.row_of(journey.owner, journey.who.name)
    expect(row).to_contain_text("01632 960142")
    expect(row).to_contain_text("opened")
    expect(row).not_to_contain_text("not opened")
    journey.shoot(journey.owner, "office-waits")
    office.nudge(journey.owner, journey.who.name)
    journey.shoot(journey.owner, "office-nudged")
    journey.letter("your answer is still open")


def answer_the_quote(journey):
    page = journey.customer
    journey.my("quote/")
    assert home.sum_shown(page) == pounds("85", "12")
    home.choose(page, "New covering on the front", yes=True)
    home.choose(page, "New spring for the lever", yes=True)
    if not journey.script:
        press(page, "Work it out")
    expect(page.locator("#reckoning tfoot td")).to_have_text(pounds("85", "18.50", "42", "12"))
    home.choose(page, "New covering on the front", yes=False)
    if not journey.script:
        press(page, "Work it out")
    expect(page.locator("#reckoning tfoot td")).to_have_text(pounds("85", "18.50", "12"))
    journey.shoot(page, "chosen")
    home.sign(page, journey.who.name)
    journey.shoot(page, "agreed")
    journey.letter("what you agreed")
    row = office.row_of(journey.owner, journey.who.name)
    expect(row).to_contain_text(pounds("85", "18.50", "12"))


def pounds(*amounts: str) -> str:
    """The sum as the page writes it: whole pounds without pence."""
    total = sum(map(Decimal, amounts))
    return f"£{total:,.0f}" if total == int(total) else f"£{total:,.2f}"


def wait_for_a_part(journey):
    page = journey.job()
    bench.await_part(page)
    journey.letter("we wait for a part")
    journey.my()
    journey.shoot(journey.customer, "awaiting-part")
    press(page, "The part came")
    if page.get_by_role("button", name="Start the work").count():
        press(page, "Start the work")
    journey.shoot(page, "bench-in-work")


def work_and_test(journey):
    page = journey.technician
    press(page, "Start the testing")
    bench.note_times(page, "after", s60="15.9", s500="2.1")
    page = journey.job()
    bench.note_tests(page)
    journey.shoot(page, "bench-ready")
    journey.letter("it is ready")
    journey.my()
    journey.shoot(journey.customer, "ready")


def send_it_home(journey):
    bench.note_payment(journey.job())
    journey.shoot(journey.technician, "payments")
    journey.letter("we have £")
    page = journey.job()
    bench.send_home(page)
    journey.letter("it is on its way home")
    bench.note_delivery(page)
    letter = journey.letter("your warranty")
    home.open_letter(journey.customer, private_link(letter))
    journey.shoot(journey.customer, "home")


def call_on_the_warranty(journey):
    page = journey.customer
    press(page, "What is covered, and how long")
    expect(page.locator("main")).to_contain_text("Free the winding gears")
    journey.shoot(page, "warranty")
    claim = home.claim(page, "The lever goes slack again, at frame nine.")
    journey.shoot(page, "claim")
    first, journey.ref = journey.ref, claim
    expect(journey.job().locator("main")).to_contain_text(first)
    journey.shoot(journey.technician, "bench-claim")
