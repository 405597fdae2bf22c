"""Writing, keeping, posting, correcting and taking back a finding."""

import html
import re
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from django.db import connections
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from jobs.actions.finding import Draft, keep
from jobs.library import get
from jobs.models import Entry, Finding, Job
from tests.cast import Cast, make_cast
from tests.portal.conftest import Visitor

SAID = {
    "title": "A screw had dropped among the gears",
    "text": "The screw lay at (1).",
    "certainty": "seen",
    "bearing": "explains",
    "effect": "stops",
    "mechanism": "transport",
}
COUNTER = {
    "explanation": "counter/stops-at-one-number",
    "fact-frame": "22",
    "fact-cover": "off",
    "certainty": "seen",
    "bearing": "explains",
    "effect": "stops",
    "mechanism": "counter",
}


def new(job: Job) -> str:
    return reverse("bench_finding_new", args=[job.ref])


def at(finding: Finding) -> str:
    return reverse("bench_finding", args=[finding.job.ref, finding.pk])


def write(browser: Client, address: str, do: str, **said: Any) -> HttpResponse:
    return browser.post(address, {"do": do, **said})


def page_of(answer: HttpResponse) -> str:
    return answer.content.decode()


def test_posting_shows_the_finding_to_the_customer_and_goes_back_to_the_job(
    jory: Client, examined: Job
) -> None:
    answer = write(jory, new(examined), "post", **SAID)
    assert (answer.status_code, answer.url) == (303, reverse("bench_job", args=[examined.ref]))
    finding = examined.findings.get()
    assert (finding.state, finding.title) == ("posted", SAID["title"])


def test_keeping_for_later_shows_it_to_nobody(jory: Client, examined: Job) -> None:
    write(jory, new(examined), "keep", **SAID)
    assert examined.findings.get().state == "draft"
    assert not Entry.objects.filter(job=examined, kind="finding_posted").exists()


def test_hardly_anything_is_needed_to_keep_for_later(jory: Client, examined: Job) -> None:
    answer = write(jory, new(examined), "keep", title="Haze?")
    assert answer.status_code == 303
    assert examined.findings.get().certainty == ""


def test_a_title_is_needed_even_to_keep_for_later(jory: Client, examined: Job) -> None:
    answer = write(jory, new(examined), "keep", text="Something in the lens.")
    assert answer.status_code == 422
    assert "Give the finding a title" in page_of(answer)
    assert "Something in the lens." in page_of(answer)


@pytest.mark.parametrize("missing", ["certainty", "bearing", "effect", "mechanism", "title"])
def test_to_post_every_key_must_be_pressed_and_nothing_typed_is_lost(
    jory: Client, examined: Job, missing: str
) -> None:
    answer = write(jory, new(examined), "post", **{**SAID, missing: ""})
    assert answer.status_code == 422
    assert "The screw lay at (1)." in page_of(answer)
    assert not examined.findings.exists()


def test_a_key_that_there_is_not_is_refused(jory: Client, examined: Job) -> None:
    assert write(jory, new(examined), "post", **{**SAID, "certainty": "guessed"}).status_code == 422


def test_a_finding_cannot_be_posted_before_the_examination(jory: Client, cast: Cast) -> None:
    answer = write(jory, new(cast.job_at("arrived")), "post", **SAID)
    assert answer.status_code == 422
    assert "That cannot be done while the job is at “Arrived”." in page_of(answer)


@pytest.mark.both
def test_the_same_form_sent_twice_is_one_finding_and_one_letter(jory: Client, examined: Job) -> None:
    answers = [write(jory, new(examined), "post", **SAID).status_code for _ in range(2)]
    assert answers == [303, 303]
    assert examined.findings.count() == 1
    assert Entry.objects.filter(job=examined, kind="finding_posted").count() == 1


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_the_same_form_sent_twice_at_once_is_one_finding(as_staff: Visitor) -> None:
    cast = make_cast()
    job = cast.job_at("examining")
    browsers = [as_staff(cast.technician_user) for _ in range(2)]

    def press(browser: Client) -> int:
        try:
            return write(browser, new(job), "post", **SAID).status_code
        finally:
            connections.close_all()

    with ThreadPoolExecutor(2) as both:
        answers = list(both.map(press, browsers))
    assert answers == [303, 303]
    assert job.findings.count() == 1


# --- the library ----------------------------------------------------------------------------------------------------


def test_the_story_and_the_camera_choose_what_the_library_offers_first(jory: Client, cast: Cast) -> None:
    job = cast.job_at(
        "examining", story="It stops winding at number 22 every time.", traits=["frame_counter"]
    )
    page = page_of(jory.get(new(job)))
    assert 'value="counter/stops-at-one-number"' in page.split('id="suggested"')[1].split("</ul>")[0]


def test_typing_searches_the_library(jory: Client, examined: Job) -> None:
    answer = jory.get(reverse("bench_explanations", args=[examined.ref]), {"look": "haze lens"})
    assert "Can the haze inside my lens be cleaned?" in page_of(answer)
    assert "<html" not in page_of(answer)


def test_what_was_found_shows_its_part_and_its_sentence_and_how_many_is_read_out(
    jory: Client, examined: Job
) -> None:
    answer = jory.get(reverse("bench_explanations", args=[examined.ref]), {"look": "lens haze"})
    assert "Lens glass" in page_of(answer)
    assert get("lens/haze-inside").short in html.unescape(page_of(answer))
    assert re.search(r'"[1-8] explanations"', answer["HX-Trigger"])
    assert 1 <= page_of(answer).count("<li>") <= 8


def test_an_explanation_that_does_not_fit_the_camera_says_what_is_not_noted(
    jory: Client, examined: Job, cast: Cast
) -> None:
    looked = {"look": "milky viewfinder, second image faint"}
    page = page_of(jory.get(reverse("bench_explanations", args=[examined.ref]), looked))
    assert "Not noted for this camera: Coupled rangefinder" in page
    unknown = cast.job_at("examining", traits=[])
    page = page_of(jory.get(reverse("bench_explanations", args=[unknown.ref]), looked))
    assert "Not noted for this camera" not in page


def test_typing_what_the_library_does_not_know_says_so(jory: Client, examined: Job) -> None:
    answer = jory.get(reverse("bench_explanations", args=[examined.ref]), {"look": "zzz"})
    assert "The library has nothing under these words." in page_of(answer)


def test_without_a_script_an_explanation_is_chosen_from_a_list_and_brings_its_facts(
    jory: Client, examined: Job
) -> None:
    answer = write(
        jory, new(examined), "use", explanation="counter/stops-at-one-number", title="Typed before"
    )
    page = page_of(answer)
    assert answer.status_code == 200
    assert 'name="fact-frame"' in page
    assert "Typed before" in page
    assert not examined.findings.exists()


def test_with_a_script_the_same_comes_back_without_the_page_around_it(jory: Client, examined: Job) -> None:
    answer = jory.post(new(examined), {"use": "counter/stops-at-one-number"}, headers={"HX-Request": "true"})
    assert page_of(answer).strip().startswith('<div id="said">')


def test_an_explanation_presses_the_keys_that_are_usual_for_it(jory: Client, examined: Job) -> None:
    page = page_of(write(jory, new(examined), "use", explanation="lens/haze-inside", certainty="seen"))
    for name, value in (("certainty", "untried"), ("effect", "pictures")):
        tag = next(
            part for part in page.split("<input") if f'name="{name}"' in part and f'value="{value}"' in part
        )
        assert "checked" in tag.split(">")[0]


def test_a_finding_from_the_library_takes_the_librarys_own_sentence_for_a_title(
    jory: Client, examined: Job
) -> None:
    write(jory, new(examined), "post", **COUNTER)
    finding = examined.findings.get()
    assert finding.title.startswith("The frame counter was put back")
    assert "22" in str(finding.shown)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [("", "The explanation needs this."), ("many", "please give a number"), ("400", "lies outside")],
)
def test_a_fact_that_is_missing_or_wrong_says_so_beside_its_field(
    jory: Client, examined: Job, typed: str, sentence: str
) -> None:
    answer = write(jory, new(examined), "post", **{**COUNTER, "fact-frame": typed})
    assert answer.status_code == 422
    assert sentence in page_of(answer)
    assert 'id="id_fact-frame_error"' in page_of(answer)


def test_facts_may_be_missing_while_it_is_kept_for_later(jory: Client, examined: Job) -> None:
    write(jory, new(examined), "keep", **{**COUNTER, "fact-frame": "", "fact-cover": ""})
    finding = examined.findings.get()
    assert finding.facts == {}
    assert finding.title == "Why does winding stop at the same number every time?"


def test_a_kept_finding_comes_back_as_it_was(jory: Client, examined: Job) -> None:
    write(jory, new(examined), "keep", **COUNTER)
    page = page_of(jory.get(at(examined.findings.get())))
    assert 'name="fact-frame" value="22"' in page


# --- as the customer reads it ---------------------------------------------------------------------------------------


def test_the_preview_is_what_the_customers_page_shows(
    jory: Client, examined: Job, as_customer: Visitor
) -> None:
    said, explained = read_in(
        page_of(write(jory, new(examined), "preview", **{**COUNTER, "text": "See (1)."}))
    )
    assert not examined.findings.exists()
    write(jory, new(examined), "post", **{**COUNTER, "text": "See (1)."})
    browser = as_customer(examined)
    their_said, fold = read_in(page_of(browser.get(reverse("my", args=[examined.ref]))))
    assert said == their_said
    # Their page fetches the explanation when it is unfolded.
    address = re.search(r'hx-get="([^"]+)"', " ".join(fold))[1]
    theirs = page_of(browser.get(address, headers={"HX-Request": "true"})).split()
    assert " ".join(theirs) in " ".join(explained)


def read_in(page: str) -> tuple[list[str], list[str]]:
    """What a finding says on a page, without the number of its row; and its explanation."""
    article = page.split('<article class="find')[1].split(">", 1)[1].split("</article>")[0]
    said, explained = article.split('<details id="explained-', 1)
    return said.split(), explained.split()


def test_a_preview_with_something_wrong_says_what(jory: Client, examined: Job) -> None:
    assert write(jory, new(examined), "preview", **{**COUNTER, "fact-frame": ""}).status_code == 422


def test_what_is_typed_is_never_markup(jory: Client, examined: Job) -> None:
    said = {**SAID, "title": "<b>Bold</b>", "text": "<script>x</script>"}
    page = page_of(write(jory, new(examined), "preview", **said))
    assert "<b>Bold</b>" not in page
    assert "<script>x" not in page


# --- after it was posted --------------------------------------------------------------------------------------------


def test_a_posted_finding_is_corrected_with_a_reason(jory: Client, cast: Cast, examined: Job) -> None:
    finding = cast.post_finding(examined)
    answer = write(
        jory,
        at(finding),
        "correct",
        **{**SAID, "title": "Two screws had dropped", "because": "We found another."},
    )
    finding.refresh_from_db()
    assert answer.status_code == 303
    assert finding.title == "Two screws had dropped"
    assert finding.wordings.count() == 2


def test_a_correction_without_a_reason_is_refused_beside_its_field(
    jory: Client, cast: Cast, examined: Job
) -> None:
    finding = cast.post_finding(examined)
    answer = write(jory, at(finding), "correct", **{**SAID, "title": "Two screws had dropped"})
    assert answer.status_code == 422
    assert 'id="id_because_error"' in page_of(answer)
    assert finding.wordings.count() == 1


@pytest.mark.both
def test_a_correction_sent_twice_is_one(jory: Client, cast: Cast, examined: Job) -> None:
    finding = cast.post_finding(examined)
    said = {**SAID, "title": "Two screws had dropped", "because": "We found another."}
    assert [write(jory, at(finding), "correct", **said).status_code for _ in range(2)] == [303, 303]
    assert finding.wordings.count() == 2


def test_posting_from_an_old_page_does_not_hide_what_is_posted_already(jory: Client, examined: Job) -> None:
    kept = keep(examined, Draft(**SAID))
    write(jory, at(kept), "post", **SAID)
    answer = write(jory, at(kept), "keep", **{**SAID, "title": "Another title"})
    kept.refresh_from_db()
    assert answer.status_code == 422
    assert kept.state == "posted"


def test_a_finding_is_taken_back_with_a_reason(jory: Client, cast: Cast, examined: Job) -> None:
    finding = cast.post_finding(examined)
    address = reverse("bench_finding_back", args=[examined.ref, finding.pk])
    assert jory.post(address, {"because": "It is meant to be so."}).status_code == 303
    finding.refresh_from_db()
    assert (finding.state, finding.withdrawn_because) == ("withdrawn", "It is meant to be so.")


@pytest.mark.parametrize("because", ["", "   "])
def test_taking_back_needs_a_reason(jory: Client, cast: Cast, examined: Job, because: str) -> None:
    finding = cast.post_finding(examined)
    answer = jory.post(reverse("bench_finding_back", args=[examined.ref, finding.pk]), {"because": because})
    finding.refresh_from_db()
    assert (answer.status_code, finding.state) == (422, "posted")


def test_taking_back_twice_is_refused_in_words(jory: Client, cast: Cast, examined: Job) -> None:
    address = reverse("bench_finding_back", args=[examined.ref, cast.post_finding(examined).pk])
    answers = [jory.post(address, {"because": "No."}) for _ in range(2)]
    assert answers[1].status_code == 422
    assert "Only a posted finding can be taken back." in page_of(answers[1])


def test_a_draft_is_thrown_away_and_a_second_press_does_no_harm(jory: Client, examined: Job) -> None:
    address = reverse("bench_finding_drop", args=[examined.ref, keep(examined, Draft(**SAID)).pk])
    assert [jory.post(address).status_code for _ in range(2)] == [303, 303]
    assert not examined.findings.exists()


def test_a_posted_finding_is_not_thrown_away(jory: Client, cast: Cast, examined: Job) -> None:
    finding = cast.post_finding(examined)
    answer = jory.post(reverse("bench_finding_drop", args=[examined.ref, finding.pk]))
    assert answer.status_code == 422
    assert "Take it back with a reason instead." in page_of(answer)


def test_a_finding_of_another_job_is_not_found(jory: Client, cast: Cast, examined: Job) -> None:
    other = cast.post_finding(cast.job_at("examining", name="Ivo", email="ivo@example.org"))
    assert jory.get(reverse("bench_finding", args=[examined.ref, other.pk])).status_code == 404
