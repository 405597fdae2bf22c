"""What goes home with a camera, on the warranty page and in the last letter; both say what was said that day, for ever."""

import pytest

from jobs.actions import arriving, finding, working
from jobs.models import ExplanationVersion, Job, Kind
from notifications import relay
from notifications.models import Letter
from tests import made_up
from tests.portal.customer.pages import to, words_of

KEY = "handling/lantern-left-lit"
HABIT, ADVICE = "Keep it in its case by the sea.", "Look at the lantern before you put it away."
HEADINGS = ("So that it does not come back", "Habits that are good for a camera of this kind")


@pytest.fixture(autouse=True)
def library(cast):
    made_up.keep(KEY, habit=ADVICE)
    made_up.keep("body/by-the-sea", habit=HABIT, traits="film_135 stereo box twin_lens")
    return cast


def examined(cast, **more) -> Job:
    """Nothing was broken: a lantern had been left on."""
    job = cast.book(traits=["film_135", "stereo", "box", "twin_lens"], **more)
    arriving.receive(job, arriving.Parcel(), cast.technician)
    arriving.start_examination(job, cast.technician)
    cast.post_finding(job, "The lantern was left on", bearing="use", effect="know", explanation=KEY)
    finding.answer_story(job, "No. The lantern was on.", cast.technician)
    return job


def sent_home(cast, **more) -> Job:
    job = examined(cast, **more)
    working.nothing_to_mend(job, cast.technician)
    cast.send_back(job, "Saltmere Parcels", "SP 4411")
    job.refresh_from_db()
    return job


def mended(cast) -> Job:
    """The same, and something was mended too: a warranty begins."""
    job = examined(cast)
    cast.agree(cast.send_quote(job))
    working.start_work(job, cast.technician)
    working.start_proving(job, cast.technician)
    working.prove(job, [working.Tested("transport", True)], cast.technician)
    cast.send_back(job)
    return cast.home(job)


def letter(job: Job, kind: str) -> Letter:
    relay.run()
    return Letter.objects.get(job=job, kind=kind)


def test_the_warranty_page_tells_what_keeps_it_from_coming_back_and_habits(cast, as_customer):
    job = mended(cast)
    page = words_of(as_customer(job).get(to("my_warranty", job)).text)
    assert all(words in page for words in (*HEADINGS, f"The lantern was left on {ADVICE}", HABIT))


@pytest.mark.parametrize("is_home", [False, True], ids=["on its way", "home"])
def test_without_a_warranty_the_page_tells_it_all_the_same(cast, as_customer, is_home):
    job = sent_home(cast)
    if is_home:
        working.deliver(job, cast.technician)
    page = words_of(as_customer(job).get(to("my_warranty", job)).text)
    assert ADVICE in page
    assert "Nothing was mended, so no warranty goes with it." in page


def test_the_warranty_letter_tells_it_in_both_forms(cast):
    sent = letter(mended(cast), "warranty")
    for part in (sent.text, words_of(sent.html)):
        assert all(words in " ".join(part.split()) for words in (*HEADINGS, ADVICE, HABIT))


def test_the_letter_of_its_way_home_leaves_it_to_the_warrantys(cast):
    assert ADVICE not in letter(mended(cast), "sent_back").text


def test_without_a_warranty_the_letter_of_its_way_home_tells_it(cast):
    sent = letter(sent_home(cast), "sent_back")
    assert ADVICE in sent.text
    assert ADVICE in sent.html


def test_a_letter_speaks_of_a_warranty_only_where_one_will_begin(cast):
    assert "Your warranty begins" in letter(mended(cast), "sent_back").html
    assert "Your warranty begins" not in letter(sent_home(cast), "sent_back").html


def test_page_and_letter_keep_what_was_said_when_the_library_says_something_else(cast, as_customer):
    job = mended(cast)
    ExplanationVersion.objects.create(
        key=KEY,
        n=2,
        text=made_up.text(habit="Something new."),
        state="in_use",
        by="Hester",
        at="2026-11-30T10:00Z",
    )
    assert ADVICE in as_customer(job).get(to("my_warranty", job)).text
    assert ADVICE in letter(job, "warranty").text


def test_steps_stand_one_below_the_other_in_a_text_letter(cast):
    ExplanationVersion.objects.create(
        key=KEY, n=2, text=made_up.text(), state="in_use", by="Hester", at="2026-11-30T10:01Z"
    )
    text = letter(sent_home(cast), "sent_back").text
    assert "The lantern was left on.\n- Hold it level.\n- Look at the dial.\n- Turn it back.\n" in text


def test_what_a_finding_says_is_never_markup(cast, as_customer):
    job = examined(cast)
    cast.post_finding(job, "A <b>knob</b> & a dial", bearing="use", explanation=KEY)
    working.nothing_to_mend(job, cast.technician)
    cast.send_back(job)
    job.refresh_from_db()
    for page in (as_customer(job).get(to("my_warranty", job)).text, letter(job, "sent_back").html):
        assert "A &lt;b&gt;knob&lt;/b&gt; &amp; a dial" in page


def test_what_is_still_at_the_workshop_has_no_such_words_yet(cast, as_customer):
    job = examined(cast)
    page = as_customer(job).get(to("my_warranty", job)).text
    assert not any(words in page for words in HEADINGS)


def test_a_job_from_before_there_was_any_is_shown_without(cast, as_customer, monkeypatch):
    monkeypatch.setattr(working, "_aftercare", lambda job: None)
    job = mended(cast)
    assert job.entries.get(kind=Kind.SENT_BACK).data["aftercare"] is None
    page = as_customer(job).get(to("my_warranty", job)).text
    assert not any(words in page for words in HEADINGS)


def test_a_finding_that_was_taken_back_is_not_spoken_of(cast, as_customer):
    job = examined(cast)
    finding.withdraw_finding(job.findings.get(), "It was a firefly.", cast.technician)
    working.nothing_to_mend(job, cast.technician)
    cast.send_back(job)
    job.refresh_from_db()
    assert ADVICE not in as_customer(job).get(to("my_warranty", job)).text
