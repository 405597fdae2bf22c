"""The library as this workshop has it: what is shipped, overlaid by the workshop's own versions in use."""

from typing import Any

import pytest
from django.utils import timezone

from jobs import collection, library
from jobs.actions.explaining import back_to_shipped, put_in_use, save_draft
from jobs.models import ExplanationVersion
from tests.cast import Cast
from tests.own_text import COUNTER, OWN, own_text, text

pytestmark = pytest.mark.django_db
NEW = text(
    short="Ours says it in other words.",
    fields=None,
    drawing=None,
    happening="The wheel sits wrong.",
    how_we_know="We counted.",
    how_sure="We are sure.",
    what_we_do="We put it back.",
)


def row(key: str, text: str, state: str = "in_use", n: int = 1) -> ExplanationVersion:
    return ExplanationVersion.objects.create(
        key=key, n=n, text=text, state=state, by="Jory", at=timezone.now()
    )


def test_without_versions_it_is_the_shipped_library() -> None:
    assert collection.entries() == library.entries()


def test_a_version_in_use_overrides_the_shipped_text(cast: Cast) -> None:
    put_in_use(COUNTER, NEW, 0, cast.technician)
    assert collection.get(COUNTER).short == "Ours says it in other words."
    assert library.get(COUNTER).short != "Ours says it in other words."


def test_a_draft_changes_nothing(cast: Cast) -> None:
    save_draft(COUNTER, NEW, 0, cast.technician)
    assert collection.get(COUNTER) == library.get(COUNTER)


def test_a_draft_after_a_version_in_use_leaves_that_in_use(cast: Cast) -> None:
    put_in_use(COUNTER, NEW, 0, cast.technician)
    save_draft(COUNTER, text(short="Later, perhaps."), 1, cast.technician)
    assert collection.get(COUNTER).short == "Ours says it in other words."


def test_an_entry_of_our_own_stands_beside_the_shipped_ones(cast: Cast) -> None:
    put_in_use(OWN, own_text(), 0, cast.technician)
    assert collection.get(OWN).title == "Why does the counter skip a number?"
    assert list(collection.entries()) == sorted([*library.entries(), OWN])


def test_back_to_the_shipped_text(cast: Cast) -> None:
    put_in_use(COUNTER, NEW, 0, cast.technician)
    back_to_shipped(COUNTER, 1, cast.technician)
    assert collection.get(COUNTER) == library.get(COUNTER)


def test_a_row_that_cannot_be_read_leaves_the_shipped_text_in_use(caplog: pytest.LogCaptureFixture) -> None:
    row(COUNTER, "+++\ntitle = 3\n+++\n")
    assert collection.get(COUNTER) == library.get(COUNTER)
    assert "left out" in caplog.text


def test_a_row_that_cannot_be_filled_any_more_leaves_the_shipped_text_in_use(
    caplog: pytest.LogCaptureFixture,
) -> None:
    row(COUNTER, text(cautions=["a-caution-that-is-gone"]))
    assert collection.get(COUNTER) == library.get(COUNTER)
    assert "a-caution-that-is-gone" in caplog.text


def test_a_broken_row_of_our_own_is_left_out_and_the_rest_stays() -> None:
    row(OWN, "nothing like it")
    row(COUNTER, NEW)
    assert OWN not in collection.entries()
    assert collection.get(COUNTER).short == "Ours says it in other words."


def test_asking_again_costs_one_query(django_assert_num_queries: Any) -> None:
    row(COUNTER, NEW)
    collection.entries()
    with django_assert_num_queries(1):
        collection.entries()


def test_what_is_unchanged_is_not_put_together_again() -> None:
    row(COUNTER, NEW)
    assert collection.entries() is collection.entries()


def test_problems_name_what_the_check_would_say() -> None:
    found = collection.problems(COUNTER, text(happening="word " * 39 + "last."))
    assert any("a sentence of 40 words" in problem.message for problem in found)


def test_a_phrase_of_another_entry_in_use_is_a_problem(cast: Cast) -> None:
    put_in_use(OWN, own_text(), 0, cast.technician)
    found = collection.problems("counter/another", own_text())
    assert any(f"is also what {OWN}" in problem.message for problem in found)


def test_a_row_with_a_place_where_no_fact_is_known_never_breaks_the_library(
    caplog: pytest.LogCaptureFixture,
) -> None:
    row(COUNTER, text(notice=["It stops at {frame}", "It stops again", "And again"]))
    assert collection.get(COUNTER) == library.get(COUNTER)


@pytest.mark.parametrize("where", ["title", "notice", "habit"])
def test_a_place_for_a_fact_where_none_is_known_is_a_problem(where: str) -> None:
    told = "Why does it stop at {frame}?"
    found = collection.problems(
        COUNTER, text(**{where: [told, "One more", "And one"] if where == "notice" else told})
    )
    assert any("{frame} cannot stand here" in problem.message for problem in found)
