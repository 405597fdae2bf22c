"""What letters of nudges say: the thing, the day, the sum; three tones; what happens next, and nothing that nobody wrote."""

import pytest

from jobs.actions import chase_plans, enquiring, paying, quote, working
from jobs.actions.chase_plans import Step
from jobs.actor import HOUSE
from jobs.models import Workshop
from notifications import chasing, relay
from notifications.chasing import telling
from notifications.models import Letter

PLANS = [Step(1), Step(1, "plain"), Step(1, "last")]


@pytest.fixture(autouse=True)
def three_tones(cast):
    for about in ("quote", "question", "payment", "collection"):
        chase_plans.keep_plan(about, PLANS)


def letters(job, go_to, number=3):
    """The words of the nudges about a job, one a day, each on one line."""
    for day in range(1, number + 1):
        go_to(day)
        chasing.nudge(job, HOUSE)
        relay.run()
    found = Letter.objects.filter(job=job, kind__startswith="nudged").order_by("pk")
    return [" ".join(letter.text.split()) for letter in found]


def test_a_quotes_three_letters_say_when_it_was_sent_and_until_when_it_is_good(cast, go_to):
    kind, plain, last = letters(cast.job_at("quoted"), go_to)
    assert "the quote for your Corvane Skerry waits for your answer" in kind
    assert "We sent it on Monday 6 July, and it is good until Monday 3 August" in kind
    assert "Any answer helps us" in plain
    assert "your answer to the quote for your Corvane Skerry. This is our last letter about it." in last
    assert "After that day the quote ends, and nothing is done without a new one" in last
    assert "we ring you next" in last
    assert "we ring you next" not in kind + plain


def test_nobody_is_told_that_we_ring_who_left_no_number(cast, go_to):
    assert "ring you" not in letters(cast.job_at("quoted", telephone=""), go_to)[-1]


def test_a_question_stands_in_its_letters_word_for_word(cast, go_to):
    job = cast.job_at("in_work")
    enquiring.enquire(job, "Shall the <dent> stay?", cast.technician, "ask-1", work_waits=True)
    found = letters(job, go_to)
    assert all("> Shall the <dent> stay?" in text for text in found)
    assert all("We asked on Monday 6 July" in text for text in found)
    assert all("The work waits for your answer" in text for text in found)
    assert "This is our last letter about it" in found[-1]


def test_one_letter_asks_for_all_questions_that_are_open(cast, go_to):
    job = cast.job_at("in_work")
    for n in (1, 2):
        enquiring.enquire(job, f"Question {n}?", cast.technician, f"ask-{n}")
    (text,) = letters(job, go_to, 1)
    assert "Question 1?" in text
    assert "Question 2?" in text
    assert "The work goes on meanwhile" in text
    assert "It is your move" not in text, "for the page says that it is ours"


def test_a_payment_says_how_much_why_and_how_to_pay(cast, go_to):
    Workshop.objects.update(account_words="By bank transfer.")
    kind, plain, last = letters(cast.job_at("ready"), go_to)
    assert all("£97" in text for text in (kind, plain, last))
    assert "Once it is paid, we send it home to you" in kind
    assert "Perhaps you have paid" in kind
    assert "you need more time, tell us" in plain
    assert "By bank transfer." in last
    assert "This is our last letter about it" in last


def test_a_missing_deposit_is_called_one(cast, go_to):
    job = cast.job_at("examining")
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Free the gears", 8500))
    cast.agree(quote.send_quote(draft, cast.technician, sending=quote.Sending(deposit=3000)))
    (text,) = letters(job, go_to, 1)
    assert "It is the deposit for the work that you agreed" in text
    assert "£30" in text


def test_what_went_home_unpaid_is_not_said_to_be_here(cast, go_to):
    job = cast.job_at("ready")
    paying.release(job, "An old customer.", cast.owner)
    working.send_back(job, cast.technician)
    kind, plain, last = letters(job, go_to)
    assert "has gone home, and £97 for it is still to be paid" in kind
    assert all("we send it" not in text for text in (kind, plain, last))


def test_something_to_fetch_says_where_when_and_what_is_to_be_paid(cast, go_to):
    kind, plain, last = letters(cast.job_at("ready", return_by="collect"), go_to)
    assert "It has been ready since Monday 6 July" in kind
    assert "£97 is to be paid. Pay when you collect it, or before" in kind
    assert "Tuesday to Saturday, 10 to 5" in kind
    assert "still here for you to collect" in plain
    assert "our last letter about it" in last


def test_without_storage_terms_of_the_workshops_own_nothing_is_said_of_them(cast, go_to):
    for text in letters(cast.job_at("ready", return_by="collect"), go_to):
        assert "free of charge" not in text
        assert "terms" not in text


def test_storage_terms_stand_in_the_last_letter_in_the_workshops_words_after_the_law(cast, go_to):
    Workshop.objects.update(storage_words="We then ask £1 a week.", storage_days=30)
    kind, plain, last = letters(cast.job_at("ready", return_by="collect"), go_to)
    assert "Until Wednesday 5 August 2026 we keep it free of charge" in last
    assert "Where the law says something else, the law comes first" in last
    assert "> We then ask £1 a week." in last
    assert "free of charge" not in kind + plain


def test_once_the_free_days_are_over_any_letter_says_so(cast, go_to):
    Workshop.objects.update(storage_words="We then ask £1 a week.", storage_days=0)
    (text,) = letters(cast.job_at("ready", return_by="collect"), go_to, 1)
    assert "Until Monday 6 July 2026 we kept it free of charge" in text


def test_the_workshop_is_told_whom_to_ring_about_what(cast, go_to):
    jobs = [cast.job_at("quoted"), cast.job_at("ready"), cast.job_at("ready", return_by="collect")]
    asked = cast.job_at("in_work")
    enquiring.enquire(asked, "Shall the dent stay?", cast.technician, "ask-1")
    for about in ("quote", "question", "payment", "collection"):
        chase_plans.keep_plan(about, [Step(1, "last")])
    for job in [*jobs, asked]:
        letters(job, go_to, 1)
    notes = [" ".join(note.text.split()) for note in Letter.objects.filter(kind="staff_call").order_by("pk")]
    said = [
        "The quote for the Corvane Skerry went out on Monday 6 July",
        "£97 is still to be paid for the Corvane Skerry",
        "has been waiting since Monday 6 July to be collected",
        "“Shall the dent stay?”",
    ]
    assert all("01632 960142" in note for note in notes)
    assert [words in note for words, note in zip(said, notes, strict=True)] == [True] * 4


@pytest.mark.parametrize(("data", "tone"), [((1, False), "kind"), ((2, False), "plain"), ((3, True), "last")])
def test_nudges_that_the_first_version_wrote_still_read_as_they_did(cast, data, tone):
    from jobs import journal
    from jobs.actions.moving import changing
    from jobs.models import Kind

    job = cast.job_at("quoted")
    step, last = data
    with changing(job) as held:
        told = {"step": step, "about": "quote", "quote": 1, "last": last}
        entry = journal.append(held, Kind.NUDGED, HOUSE, told)
    assert telling.tone(entry) == tone
    relay.run()
    letter = Letter.objects.get(job=job, kind="nudged")
    assert letter.state == "waiting"
    assert "Monday 6 July" in letter.text
    assert Letter.objects.filter(kind="staff_call").exists() is last
