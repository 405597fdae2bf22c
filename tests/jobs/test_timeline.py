import json

import pytest
from django.utils.translation import override

from jobs import timeline
from jobs.actions import asking, leaving, working
from jobs.actor import Actor
from jobs.models import Kind, Workshop
from jobs.words import Stage
from tests.cast import Cast


def words(job) -> list[str]:  # type: ignore[no-untyped-def]
    return [line.words for turn in timeline.turns(job.entries.order_by("seq")) for line in turn.lines]


def test_the_newest_line_comes_first(cast: Cast) -> None:
    job = cast.home()
    assert words(job)[0] == "Your warranty began."
    assert words(job)[-1] == "You told us what happened and booked it in."


def test_turns_follow_whose_move_it_was(cast: Cast) -> None:
    job = cast.home()
    holders = [turn.holder for turn in timeline.turns(job.entries.order_by("seq"))]
    # Ready and unpaid it was theirs, paid it was ours again for as long as it took to post it.
    assert holders == [
        *("nobody", "carrier", "workshop", "customer"),
        *("workshop", "customer", "workshop", "customer"),
    ]


def test_only_the_present_turn_has_no_end(cast: Cast) -> None:
    turns = timeline.turns(cast.job_at(Stage.QUOTED).entries.order_by("seq"))
    assert [turn.until is None for turn in turns] == [True, False, False]


@pytest.mark.parametrize("stage", Stage)
def test_the_timeline_agrees_with_the_job_on_whose_move_it_is(cast: Cast, stage: Stage) -> None:
    job = cast.job_at(stage)
    last = timeline.turns(job.entries.order_by("seq"))[0]
    assert last.holder == job.holder


def test_what_was_agreed_is_told_with_its_sum(cast: Cast) -> None:
    assert "You answered the quote and agreed to £97." in words(cast.job_at(Stage.AGREED))


def test_a_question_and_its_answer_are_quoted(cast: Cast) -> None:
    job = cast.job_at(Stage.QUOTED)
    question = asking.ask(job, "Will it scratch?", Actor.customer(job.customer), "once-1")
    asking.answer(question, "No.", cast.technician)
    assert words(job)[:2] == ["We answered: “No.”", "You asked us: “Will it scratch?”"]


def test_tests_that_did_not_content_us_are_told(cast: Cast) -> None:
    job = cast.job_at(Stage.PROVING)
    working.prove(job, [working.Tested("focus", False, "Soft at two metres.")], cast.technician)
    assert words(job)[0] == "We tested it and were not content, so it went back to the bench."


@pytest.mark.parametrize("kind", sorted(timeline.HIDDEN))
def test_what_is_ours_alone_has_no_line(cast: Cast, kind: str) -> None:
    assert kind in {
        *(Kind.NUDGED, Kind.CALLED, Kind.LINK_ASKED, Kind.PAUSED, Kind.RESUMED, Kind.CAME_BACK),
        *(Kind.RELEASED, Kind.PAYMENT_UNDONE, Kind.CODE_ASKED, Kind.CODE_TYPED, Kind.PAPER),
        *(Kind.CLAIM_JUDGED, Kind.WARRANTY_ENDS),  # told on the warranty's own pages
    }


def test_dates_are_written_in_the_language_of_the_page(cast: Cast) -> None:
    with override("en-gb"):
        assert any(
            line.startswith("We gave you dates: likely by ") for line in words(cast.job_at(Stage.QUOTED))
        )


@pytest.mark.parametrize(
    ("return_by", "fee", "holder"),
    [("post", 2500, "customer"), ("post", 0, "workshop"), ("collect", 2500, "customer")],
)
def test_an_end_without_repair_hands_it_to_whoever_moves_it_next(
    cast: Cast, return_by: str, fee: int, holder: str
) -> None:
    """Theirs to pay first, where there is something to pay; theirs to fetch, where they collect it."""
    Workshop.objects.update(assessment_fee=fee, carriage_fee=0)
    job = cast.job_at(Stage.EXAMINING)
    type(job).objects.filter(pk=job.pk).update(return_by=return_by)
    leaving.withdraw(job, Actor.customer(job.customer))
    assert timeline.turns(job.entries.order_by("seq"))[0].holder == holder == job.holder


def test_called_off_before_it_was_sent_it_is_nobodys_move(cast: Cast) -> None:
    job = cast.book()
    leaving.withdraw(job, Actor.customer(job.customer))
    assert timeline.turns(job.entries.order_by("seq"))[0].holder == "nobody"


def test_an_end_that_was_noted_before_entries_named_their_holder_is_the_workshops(cast: Cast) -> None:
    job = cast.job_at(Stage.WITHDRAWN)
    entries = list(job.entries.order_by("seq"))
    told = json.loads(entries[-1].body)
    del told["data"]["holder"]
    entries[-1].body = json.dumps(told)
    assert timeline.turns(entries)[0].holder == "workshop"
