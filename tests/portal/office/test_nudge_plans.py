"""The plans of reminders: edited as rows, said in words, refused with a sentence beside the field."""

import pytest
from django.test import Client

from jobs.actions.chase_plans import USUAL, Step, keep_plan
from jobs.models import NudgeStep
from portal.office.plan_words import in_words
from tests.cast import Cast
from tests.portal.conftest import Visitor

pytestmark = pytest.mark.django_db
PAGE = "/office/settings/nudges/"


@pytest.fixture
def owner(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


def typed(about: str, *rows: tuple[object, str, str], **more: str) -> dict[str, str]:
    """What the form sends: rows of (wait, way, tone), and an empty one."""
    told = {"about": about} | more
    for n, (wait, way, tone) in enumerate([*rows, ("", "email", "kind")], start=1):
        told |= {f"{about}-wait_{n}": str(wait), f"{about}-way_{n}": way, f"{about}-tone_{n}": tone}
    return told


def plan(about: str) -> list[tuple[int, str, str]]:
    return list(NudgeStep.objects.filter(about=about).order_by("n").values_list("wait", "way", "tone"))


def test_the_page_says_each_plan_in_words(owner: Client) -> None:
    page = owner.get(PAGE).content.decode()
    assert (
        "2 working days after the quote went out: a kind letter. After 3 more: a plain letter. After 5 more: the last letter."
        in page
    )
    assert "5 working days after it was ready: a kind letter." in page


def test_a_plan_is_kept_as_it_was_typed(owner: Client) -> None:
    sent = owner.post(PAGE, typed("payment", (4, "email", "kind"), (9, "text", "last")))
    assert (sent.status_code, sent.headers["Location"]) == (303, PAGE + "#payment")
    assert plan("payment") == [(4, "email", "kind"), (9, "text", "last")]
    assert len(plan("quote")) == 3  # others stay as they were


def test_a_row_is_added_at_the_end_and_an_emptied_one_goes(owner: Client) -> None:
    owner.post(PAGE, typed("payment", ("", "email", "kind"), (3, "email", "plain"), (4, "email", "last")))
    assert plan("payment") == [(3, "email", "plain"), (4, "email", "last")]


def test_one_press_takes_a_row_out(owner: Client) -> None:
    rows = [(2, "email", "kind"), (3, "email", "plain"), (5, "email", "last")]
    owner.post(PAGE, typed("quote", *rows, out="2"))
    assert plan("quote") == [rows[0], rows[2]]


def test_no_row_at_all_means_never_by_itself(owner: Client) -> None:
    owner.post(PAGE, typed("quote"))
    assert plan("quote") == []
    assert "Nothing goes by itself" in owner.get(PAGE).content.decode()


def test_one_press_takes_the_usual_plan(owner: Client) -> None:
    keep_plan("quote", [])
    assert "Take the usual plan" in owner.get(PAGE).content.decode()
    owner.post(PAGE, {"about": "quote", "usual": "1"})
    assert plan("quote") == [(step.wait, step.way, step.tone) for step in USUAL["quote"]]
    assert "Take the usual plan" not in owner.get(PAGE).content.decode()


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ([("soon", "email", "kind")], "Type a whole number from 1 to 60"),
        ([("0", "email", "kind")], "Type a whole number from 1 to 60"),
        ([("61", "email", "kind")], "Type a whole number from 1 to 60"),
        ([("2", "email", "last"), ("3", "email", "plain")], "Only the last step can say"),
        ([("2", "pigeon", "kind")], "Choose one of these"),
        ([("2", "email", "rude")], "Choose one of these"),
    ],
)
def test_what_cannot_be_kept_comes_back_with_a_sentence_and_changes_nothing(
    owner: Client, rows: list[tuple[object, str, str]], sentence: str
) -> None:
    before = plan("quote")
    answer = owner.post(PAGE, typed("quote", *rows))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in page
    assert f'value="{rows[0][0]}"' in page
    assert "One thing to mend" in page
    assert plan("quote") == before


def test_a_plan_for_something_else_is_refused(owner: Client) -> None:
    assert owner.post(PAGE, {"about": "friendship", "usual": "1"}).status_code == 422


def test_there_is_no_room_for_a_sixth_row(owner: Client) -> None:
    keep_plan("quote", [Step(1)] * 5)
    page = owner.get(PAGE).content.decode()
    assert 'name="quote-wait_5"' in page
    assert "wait_6" not in page
    assert page.count("one more<") == 3  # the other three plans have room


@pytest.mark.parametrize(
    ("about", "steps", "words"),
    [
        ("question", [Step(1)], "1 working day after you asked: a kind letter. Then you ring."),
        (
            "payment",
            [Step(2, "last", "text")],
            "2 working days after it was asked for: the last text message.",
        ),
        (
            "quote",
            [Step(2, "plain", "push")],
            "a plain notice. Then you ring. After its last day the quote lapses.",
        ),
    ],
)
def test_any_plan_is_a_sentence(about: str, steps: list[Step], words: str) -> None:
    assert words in in_words(about, steps)
