"""What only a real browser shows: news that arrive while somebody types, sums that follow a choice, and pages without faults."""

import pytest

from jobs.actions import working
from jobs.actions.linking import issue_link
from jobs.library import get
from jobs.library.facts import examples
from jobs.models import Decision, Job, Photo, Question
from jobs.words import Stage
from tests.cast import make_cast
from tests.journeys import inspecting
from tests.portal.customer.pages import jpeg, to
from tests.services import wait_until

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PHONE = {"width": 390, "height": 844}


@pytest.fixture
def cast(transactional_db):
    return make_cast()


@pytest.fixture
def visit(chromium, live_server):
    """`visit(job)`: a page on a phone that came in by the job's private link; without a job, a stranger's."""
    contexts = []

    def come_in(job=None, **more):
        context = chromium.new_context(
            viewport=PHONE, base_url=live_server.url, bypass_csp=more.pop("bypass_csp", False), **more
        )
        contexts.append(context)
        context.clock.install()  # runs on as ever, until a test moves it
        page = context.new_page()
        page.faults = []
        page.on("console", lambda said: page.faults.append(said.text) if said.type == "error" else None)
        if job:
            page.goto(f"/open/{issue_link(job)}")
        return page

    yield come_in
    for context in contexts:
        context.close()


def explained_job(cast) -> Job:
    job = cast.job_at(Stage.EXAMINING)
    cast.post_finding(job, explanation="lens/haze-inside", facts=examples(get("lens/haze-inside").fields))
    cast._examine_and_quote(job)
    return job


def test_news_arrive_within_fifteen_seconds_and_leave_what_is_typed_and_opened_alone(cast, visit):
    job = cast.job_at(Stage.AGREED)
    cast.post_finding(job, explanation="lens/haze-inside", facts=examples(get("lens/haze-inside").fields))
    page = visit(job)
    page.click("text=Explained:")
    page.wait_for_selector("[id^=explained] svg")
    page.fill("#id_text", "I have just thought of")
    working.start_work(job, cast.technician)
    page.clock.run_for(15_000)
    page.wait_for_selector("text=It is on the bench now.", timeout=20_000)
    assert page.input_value("#id_text") == "I have just thought of"
    assert page.is_visible("[id^=explained] svg")
    wait_until(lambda: page.evaluate("document.activeElement.id") == "id_text", what="the focus")
    assert page.inner_text("#status") == "Something new: The work began."
    assert page.faults == []


def test_news_leave_the_focus_where_it_was(cast, visit):
    job = cast.job_at(Stage.AGREED)
    page = visit(job)
    page.focus("#live .quiet")
    working.start_work(job, cast.technician)
    page.clock.run_for(15_000)
    page.wait_for_selector("text=It is on the bench now.", timeout=20_000)
    wait_until(
        lambda: page.evaluate("document.activeElement.textContent.trim()") == "Ask us something",
        what="the focus",
    )


def test_the_sum_follows_each_choice(cast, visit):
    job = cast.job_at(Stage.QUOTED)
    page = visit(job)
    page.goto(to("my_quote", job))
    assert "£97" in page.inner_text("#reckoning tfoot")
    page.check("text=Yes, do it >> nth=1")
    page.wait_for_selector("#reckoning tfoot:has-text('£139')")
    assert "£139" in page.inner_text("#sofar")
    assert page.faults == []


def test_a_question_about_a_line_leaves_the_choices_alone(cast, visit):
    job = cast.job_at(Stage.QUOTED)
    page = visit(job)
    page.goto(to("my_quote", job))
    page.check("text=Yes, do it >> nth=1")
    page.click("summary:has-text('Ask about this line') >> nth=0")
    page.fill("textarea >> nth=0", "Must this be?")
    page.click("text=Send the question >> nth=0")
    page.wait_for_selector(".thread:has-text('Must this be?')")
    assert Question.objects.get().line.title == "Free the winding gears"
    assert page.is_checked("text=Yes, do it >> nth=1")
    assert page.faults == []


def test_a_photograph_goes_up_at_once_and_stays_when_the_form_comes_back(cast, visit):
    page = visit()
    page.goto("/book/")
    page.fill("#id_story", "It stopped.")
    page.set_input_files(
        "#photos", [{"name": "front.jpg", "mimeType": "image/jpeg", "buffer": jpeg().read()}]
    )
    page.wait_for_selector("#basket >> text=front.jpg")
    assert Photo.objects.get().file_name == "front.jpg"
    assert page.input_value("#photos") == ""
    page.click("text=Book it in")
    page.wait_for_selector("#wrongs")
    assert page.is_visible("#basket >> text=front.jpg")
    assert page.input_value("#id_story") == "It stopped."
    wait_until(lambda: page.evaluate("document.activeElement.id") == "wrongs", what="the focus")


def test_taking_one_of_two_photographs_out_leaves_the_other_and_does_not_lose_the_focus(cast, visit):
    page = visit()
    page.goto("/book/")
    both = [
        {"name": name, "mimeType": "image/jpeg", "buffer": jpeg().read()} for name in ("front.jpg", "top.jpg")
    ]
    page.set_input_files("#photos", both)
    page.wait_for_selector("text=2 photographs so far.")
    page.click("button:has-text('Remove') >> nth=0")
    page.wait_for_selector("text=One photograph so far.")
    assert list(Photo.objects.values_list("file_name", flat=True)) == ["top.jpg"]
    wait_until(
        lambda: page.evaluate("document.activeElement.textContent.trim()") == "One photograph so far.",
        what="the focus",
    )
    assert page.faults == []


def test_without_scripts_the_whole_way_to_a_signature_works(cast, visit):
    job = cast.job_at(Stage.QUOTED)
    page = visit(job, java_script_enabled=False)
    page.click("text=Read and answer the quote >> nth=0")
    page.check("text=Yes, do it >> nth=1")
    page.click("button[formaction]")
    assert "£139" in page.inner_text("#reckoning tfoot")
    page.check("[name=terms]")
    page.fill("[name=name]", "Orla Fennimore")
    page.click("text=Agree to the work and to pay for it")
    assert "Thank you, Orla." in page.inner_text("main")
    assert Decision.objects.get().gross == 13_900


def test_axe_finds_no_fault_on_any_page(cast, visit):
    job, done = explained_job(cast), cast.home()
    explained = job.findings.exclude(explanation="").get()
    page = visit(job, bypass_csp=True)
    page.goto(f"/open/{issue_link(done)}")
    pages = ["/", "/book/", "/library/", "/library/lens/haze-inside/", "/my/0000000/"]
    pages += [
        to(name, job) for name in ("my", "my_quote", "my_questions", "my_warranty", "my_settings", "my_leave")
    ]
    pages += [
        to("my_explained", job, explained.pk),
        to("my", done),
        to("my_quote", done),
        to("my_warranty", done),
    ]
    faults = {address: axe(page, address) for address in pages}
    assert {address: found for address, found in faults.items() if found} == {}


def test_axe_finds_no_fault_in_forms_that_came_back(cast, visit):
    job = cast.job_at(Stage.QUOTED)
    page = visit(job, bypass_csp=True)
    signed = ((to("my_quote", job), "Agree to the work"), (to("my_leave", job), "Send it back as it is,"))
    for address, button in (("/book/", "Book it in"), *signed):
        page.goto(address)
        page.click(f"button:has-text('{button}')")
        page.wait_for_selector(".wrongs")
        assert faults_of(page) == [], address


def test_no_page_scrolls_sideways_on_a_narrow_phone_or_at_twice_the_size(cast, visit):
    job, done = explained_job(cast), cast.home()
    working.measure(job, "1", 1_900_000, after_work=False)
    page = visit(job)
    page.goto(f"/open/{issue_link(done)}")
    for width in (320, 390, 640, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        for address in [
            "/",
            "/book/",
            "/library/",
            to("my", job),
            to("my_quote", job),
            to("my_leave", job),
            to("my_warranty", done),
        ]:
            page.goto(address)
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (address, width)


def test_the_first_view_of_a_phone_answers_whose_move_what_next_and_when(cast, visit):
    page = visit(cast.job_at(Stage.QUOTED))
    for part in ("h1", ".lede", ".when", ".act", ".answer"):
        box = page.locator(part).first.bounding_box()
        assert box["y"] + box["height"] <= PHONE["height"], part


def axe(page, address: str) -> list[str]:
    page.goto(address)
    return faults_of(page)


def faults_of(page) -> list[str]:
    """With everything unfolded."""
    page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
    page.wait_for_timeout(150)
    return inspecting.faults(page)
