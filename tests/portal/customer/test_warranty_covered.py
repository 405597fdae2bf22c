"""Is this covered? Asked on the page of the warranty, with htmx and without; and what goes on from the answer."""

from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.utils import timezone

from jobs.actions import arriving, judging
from jobs.library import get
from jobs.library.facts import examples
from jobs.models import Cover, Entry, Job, Paper, PrivateLink, Question, Warranty
from jobs.words import Stage
from portal.models import RateBucket
from tests.cast import Cast
from tests.jobs.actions.claims import first_cover, mended_again, open_claim
from tests.once import made_once
from tests.portal.customer.pages import HTMX, chosen_in, follow, to, words_of

LEVER, HAZE = "transport/lever-stops-half-way", "lens/haze-inside"
DECIDES = "The workshop decides when it has seen it. Your rights by law are not affected, and the law where you live decides."


@pytest.fixture
def home(cast: Cast) -> Job:
    return made_once(lever_mended_and_haze_left, cast)


def lever_mended_and_haze_left(cast: Cast) -> Job:
    """Home: the lever's fault is covered for a year, the haze was told about and left."""
    job = cast.job_at(Stage.EXAMINING)
    cast.post_finding(job, "The lever stops", explanation=LEVER, facts=examples(get(LEVER).fields))
    cast.send_quote(job)
    cast.post_finding(
        job, "Haze inside", mechanism="lens", bearing="separate", effect="looks", explanation=HAZE,
        facts=examples(get(HAZE).fields),
    )  # fmt: skip
    cast.agree(job.quotes.open().get())
    for step in (Stage.IN_WORK, Stage.PROVING, Stage.READY, Stage.RETURNED):
        cast._road(step)[-1](job)
    return cast.home(job)


def key_of(home: Job, explanation: str = LEVER, n: int = 0) -> str:
    cover = home.warranty.covers.get(mechanism=explanation.partition("/")[0])
    return f"{cover.pk}.{explanation}.{n}"


def ask(visitor: Any, home: Job, noticed: str = "", words: str = "", **headers: Any) -> Any:
    return visitor.post(to("my_covered", home), {"noticed": noticed, "words": words}, headers=headers)


def asked(visitor: Any, home: Job, noticed: str = "", words: str = "") -> str:
    return words_of(ask(visitor, home, noticed, words).text)


# --- asking ----------------------------------------------------------------------------------------------------------


def test_the_page_offers_what_the_mended_faults_are_noticed_by(as_customer: Any, home: Job) -> None:
    page = as_customer(home).get(to("my_warranty", home)).text
    for sentence in (get(LEVER).notice[0], get(HAZE).notice[0], "It fell, or had a knock", "Something else"):
        assert sentence in words_of(page)
    assert chosen_in(page, "noticed") is None


def test_a_pressed_notice_of_what_is_covered_is_answered_with_yes_and_its_day(
    as_customer: Any, home: Job
) -> None:
    said = asked(as_customer(home), home, key_of(home))
    assert "Yes. It is covered until" in said
    assert "It sounds like this: Free the winding gears." in said
    assert "Stop using it, leave film where it is" in said
    assert DECIDES in said


def test_what_was_told_and_left_is_answered_with_no_and_why(as_customer: Any, home: Job) -> None:
    said = asked(as_customer(home), home, key_of(home, HAZE))
    assert "No. We named that as not covered." in said
    assert "We told you about this and it was left as it is." in said
    assert "Ask us all the same" in said


def test_an_accident_is_for_a_look(as_customer: Any, home: Job) -> None:
    assert "We have to look. A fall is not covered, our work is." in asked(as_customer(home), home, "fell")


def test_their_own_words_are_answered(as_customer: Any, home: Job) -> None:
    said = asked(as_customer(home), home, "else", "the winding lever stops half way and then it jams")
    assert "Yes. It is covered until" in said
    assert "“the winding lever stops half way and then it jams”" in said


def test_words_without_a_press_are_enough(as_customer: Any, home: Job) -> None:
    assert "We have to look." in asked(as_customer(home), home, "", "it sings at night")


def test_an_accident_in_the_words_counts_beside_a_pressed_notice(as_customer: Any, home: Job) -> None:
    said = asked(as_customer(home), home, key_of(home), "I dropped it on the quay")
    assert "We have to look. A fall is not covered, our work is." in said


def test_after_the_end_it_is_not_any_more(as_customer: Any, home: Job) -> None:
    with time_machine.travel(timezone.now() + timedelta(days=400), tick=False):
        PrivateLink.objects.update(expires_at=timezone.now() + timedelta(days=9))
        assert "Not any more. That cover ended on" in asked(as_customer(home), home, key_of(home))


def test_what_was_mended_again_answers_with_its_new_day(cast: Cast, as_customer: Any, home: Job) -> None:
    home.warranty.covers.filter(until__isnull=False).update(until=timezone.localdate())
    later = mended_again(cast, home).warranty.covers.get(until__isnull=False).until
    assert f"Yes. It is covered until {later.day} {later:%B}" in asked(as_customer(home), home, key_of(home))


def test_one_answer_stands_there_at_a_time(as_customer: Any, home: Job) -> None:
    page = ask(as_customer(home), home, "fell").text
    assert page.count('class="answer"') == 1
    assert page.count('class="scale verdict"') == 1


def test_without_htmx_the_whole_page_comes_back_with_what_was_chosen(as_customer: Any, home: Job) -> None:
    page = ask(as_customer(home), home, key_of(home), "since Tuesday").text
    assert "<html" in page
    assert chosen_in(page, "noticed") == key_of(home)
    assert "since Tuesday</textarea>" in page


def test_with_htmx_only_the_question_and_its_answer_come_back(as_customer: Any, home: Job) -> None:
    page = ask(as_customer(home), home, key_of(home), **HTMX).text
    assert "<html" not in page
    assert page.lstrip().startswith('<section class="part" id="covered">')
    assert "Yes. It is covered until" in page


def test_asking_changes_nothing(as_customer: Any, home: Job) -> None:
    visitor, before = as_customer(home), (Entry.objects.count(), Job.objects.count(), Cover.objects.count())
    home.refresh_from_db()
    seq = home.last_seq
    ask(visitor, home, "else", "it sings at night")
    home.refresh_from_db()
    assert (Entry.objects.count(), Job.objects.count(), Cover.objects.count()) == before
    assert home.last_seq == seq


def test_asking_by_get_is_not_possible_so_that_no_log_keeps_the_words(as_customer: Any, home: Job) -> None:
    assert as_customer(home).get(to("my_covered", home), {"words": "private"}).status_code == 405


def test_what_people_type_is_never_markup(as_customer: Any, home: Job) -> None:
    page = ask(as_customer(home), home, "else", "<img src=x> & it <b>slips</b>").text
    assert "<img src=x>" not in page
    assert "&lt;img src=x&gt; &amp; it &lt;b&gt;slips&lt;/b&gt;" in page


@pytest.mark.parametrize(
    ("noticed", "words", "sentence"),
    [
        ("", "", "Choose one of these, or say it in your own words."),
        ("", "   ", "Choose one of these, or say it in your own words."),
        ("else", "", "Say in a few words what it is."),
        ("999.lens/haze-inside.0", "milky", "Choose one of these, or say it in your own words."),
        ("else", "x" * 401, "Keep it to 400 letters here. A claim has room for all of it."),
    ],
)
def test_what_is_wrong_is_said_and_what_was_typed_is_kept(
    as_customer: Any, home: Job, noticed: str, words: str, sentence: str
) -> None:
    for headers in ({}, HTMX):
        answer = ask(as_customer(home), home, noticed, words, **headers)
        assert answer.status_code == 422
        assert sentence in words_of(answer.text)
        assert words.strip() in answer.text
        assert 'class="answer"' not in answer.text


def test_too_many_questions_in_an_hour_are_said_to_be_too_many(as_customer: Any, home: Job) -> None:
    visitor = as_customer(home)
    ask(visitor, home, "fell")
    RateBucket.objects.update(count=60)
    answer = ask(visitor, home, "fell")
    assert answer.status_code == 422
    assert "That was a lot of questions in one hour." in answer.text


def test_a_job_without_a_warranty_has_nothing_to_ask_about(cast: Cast, as_customer: Any) -> None:
    job = cast.job_at(Stage.READY)
    answer = ask(as_customer(job), job, "fell")
    assert answer.status_code == 422
    assert "No warranty yet" in answer.text
    assert "Is this covered?" not in answer.text


def test_staff_read_the_page_without_the_question(cast: Cast, as_staff: Any, home: Job) -> None:
    page = as_staff(cast.technician_user).get(to("my_warranty", home)).text
    assert "Free the winding gears" in page
    assert 'id="covered"' not in page


@pytest.mark.parametrize("covers", [1, 6])
def test_the_page_asks_the_database_as_often_with_one_cover_as_with_six(
    as_customer: Any, home: Job, covers: int, django_assert_max_num_queries: Any
) -> None:
    for n in range(covers):
        home.warranty.covers.create(
            what=f"More {n}", mechanism="lens", line=first_cover(home).line, until=timezone.localdate()
        )
    visitor = as_customer(home)
    with django_assert_max_num_queries(14):
        visitor.get(to("my_warranty", home))


def test_never_more_sentences_than_somebody_reads(as_customer: Any, home: Job) -> None:
    for n, mechanism in enumerate(["lens", "meter", "focus", "finder", "seals", "counter", "aperture"] * 3):
        home.warranty.covers.create(what=f"More {n}", mechanism=mechanism, until=timezone.localdate())
    page = as_customer(home).get(to("my_warranty", home)).text
    assert page.count('name="noticed"') <= 16


# --- a claim from the answer -----------------------------------------------------------------------------------------


def test_the_claim_is_prefilled_with_their_words_and_what_it_rests_on(as_customer: Any, home: Job) -> None:
    page = ask(as_customer(home), home, key_of(home), "Only when cold.").text
    assert f'<input type="hidden" name="cover" value="{first_cover(home).pk}">' in page
    assert f"{get(LEVER).notice[0].rstrip('.')}. Only when cold.</textarea>" in page


def test_a_no_leads_to_a_question_with_the_same_words(as_customer: Any, home: Job) -> None:
    visitor = as_customer(home)
    page = ask(visitor, home, key_of(home, HAZE)).text
    assert 'name="cover"' not in page
    once = page.split('name="once" value="')[1].split('"')[0]
    visitor.post(to("my_questions", home), {"text": get(HAZE).notice[0], "once": once, "about": ""})
    assert Question.objects.get().text == get(HAZE).notice[0]


def test_a_claim_keeps_what_they_were_told_it_rests_on(as_customer: Any, home: Job) -> None:
    visitor, cover = as_customer(home), first_cover(home)
    follow(visitor, visitor.post(to("my_claim", home), {"story": "It slips again.", "cover": cover.pk}))
    assert Job.objects.get(claim_on=home).claim_cover == cover


@pytest.mark.parametrize("cover", ["foreign", "999999", "-1", "1e3", "٣", "9" * 40])
def test_a_claim_on_what_is_no_part_of_this_warranty_is_refused_and_keeps_the_words(
    cast: Cast, as_customer: Any, home: Job, cover: str
) -> None:
    if cover == "foreign":
        cover = str(first_cover(cast.home(cast.job_at(Stage.RETURNED, cast.another_book()))).pk)
    answer = as_customer(home).post(to("my_claim", home), {"story": "It slips again.", "cover": cover})
    assert answer.status_code == 422
    assert "That is no part of this warranty. Tell us in your own words." in answer.text
    assert "It slips again.</textarea>" in answer.text
    assert not home.claims.exists()


def test_a_very_long_story_is_kept_and_refused(as_customer: Any, home: Job) -> None:
    answer = as_customer(home).post(to("my_claim", home), {"story": "x" * 4001})
    assert answer.status_code == 422
    assert "x" * 4001 in answer.text
    assert not home.claims.exists()


def test_while_a_claim_is_open_the_answer_leads_to_it_and_offers_no_second(
    as_customer: Any, home: Job
) -> None:
    claim = open_claim(home)
    page = ask(as_customer(home, claim), home, key_of(home)).text
    assert f"Your claim {claim.shown_ref} is open." in words_of(page)
    assert "Start a claim</button>" not in page.partition('id="claim"')[0]
    assert f'href="{to("my", claim)}"' in page


def test_a_claim_is_linked_where_this_browser_may_open_it(as_customer: Any, home: Job) -> None:
    claim = open_claim(home)
    page = as_customer(home).get(to("my_warranty", home)).text
    assert claim.shown_ref in page
    assert f'href="{to("my", claim)}"' not in page


def test_the_customer_of_a_claim_reads_why_it_is_not_covered(cast: Cast, as_customer: Any, home: Job) -> None:
    claim = open_claim(home)
    arriving.receive(claim, arriving.Parcel(), cast.technician)
    arriving.start_examination(claim, cast.technician)
    judging.judge_claim(claim, "not_covered", "other", None, "The rim is bent.", cast.technician)
    assert "The warranty does not cover it: The rim is bent." in words_of(
        as_customer(claim).get(to("my", claim)).text
    )


# --- the letter before the end, and the card ------------------------------------------------------------------------


def test_a_letter_before_the_end_is_asked_for_and_asked_off(as_customer: Any, home: Job) -> None:
    visitor = as_customer(home)
    assert "Kept. We write to you a month before it ends." in follow(
        visitor, visitor.post(to("my_reminder", home), {"wants": "on"})
    )
    assert Warranty.objects.get().wants_reminder
    assert "Kept. We write no such letter." in follow(visitor, visitor.post(to("my_reminder", home)))
    assert not Warranty.objects.get().wants_reminder


def test_in_the_last_month_the_letter_is_no_longer_offered(as_customer: Any, home: Job) -> None:
    until = first_cover(home).until
    assert until
    for left, offered in ((31, True), (30, False)):
        with time_machine.travel(
            timezone.now() + (until - timezone.localdate() - timedelta(days=left)), tick=False
        ):
            PrivateLink.objects.update(expires_at=timezone.now() + timedelta(days=9))
            assert ('id="reminder"' in as_customer(home).get(to("my_warranty", home)).text) is offered


def test_asking_for_a_letter_writes_nothing_into_the_journal(as_customer: Any, home: Job) -> None:
    before = Entry.objects.count()
    as_customer(home).post(to("my_reminder", home), {"wants": "on"})
    assert Entry.objects.count() == before


def test_the_card_is_a_pdf_with_a_name_that_says_what_it_is(as_customer: Any, home: Job) -> None:
    answer = as_customer(home).get(to("my_warranty_pdf", home))
    assert b"".join(answer.streaming_content).startswith(b"%PDF-")
    assert answer["Content-Type"] == "application/pdf"
    assert (
        answer["Content-Disposition"]
        == f'inline; filename="Tidewater Camera Works {home.shown_ref} warranty.pdf"'
    )
    assert answer["Cache-Control"] == "private, no-store"


def test_the_card_is_made_once_and_known_by_its_fingerprint(as_customer: Any, home: Job) -> None:
    bodies = [
        b"".join(as_customer(home).get(to("my_warranty_pdf", home)).streaming_content) for _each in range(2)
    ]
    paper = Paper.objects.get(kind="warranty")
    assert bodies == [bytes(paper.body)] * 2
    assert Entry.objects.get(kind="paper").data == {"kind": "warranty", "sha256": paper.sha256}


def test_without_a_warranty_there_is_no_card(cast: Cast, as_customer: Any) -> None:
    job = cast.job_at(Stage.READY)
    assert as_customer(job).get(to("my_warranty_pdf", job)).status_code == 404


def test_the_page_leads_to_the_card(as_customer: Any, home: Job) -> None:
    assert f'href="{to("my_warranty_pdf", home)}"' in as_customer(home).get(to("my_warranty", home)).text
