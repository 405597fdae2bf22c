"""What to say at the beginning of a call: made from what is known, and nothing more."""

from datetime import date

import pytest

from jobs.models import Finding
from jobs.words import Bearing, Certainty, Effect, Owes
from portal.office.opening_words import Call, opening, that_matters


def finding(title: str = "A screw had dropped among the gears", **more: str) -> Finding:
    told = {"certainty": "seen", "bearing": "explains", "effect": "stops", **more}
    return Finding(pk=int(told.pop("pk", 1)), title=title, **told)


def call(about: Owes = Owes.QUOTE, **more: object) -> str:
    told = {
        "caller": "Hester Quill",
        "workshop": "Tidewater Camera Works",
        "item": "Corvane Skerry",
        "asked_on": date(2020, 3, 10),
        "reached": True,
        **more,
    }
    return " ".join(opening(Call(about=about, **told)))


def test_an_open_quote_is_begun_with_who_what_was_found_and_what_is_asked() -> None:
    said = call(finding=finding(), offered="£97 to £139", last_day=date(2020, 4, 7))
    assert said == (
        "Hello, this is Hester Quill from Tidewater Camera Works, about your Corvane Skerry."
        " What we found: A screw had dropped among the gears. We saw that ourselves."
        " Our quote of Tue 10 March 2020 is for £97 to £139 and good until Tue 7 April 2020."
        " What do you think of it? A no is fine too."
    )


def test_our_own_question_is_asked_in_its_own_words() -> None:
    said = call(Owes.QUESTION, question="Which film did you use?", finding=finding())
    assert "On Tue 10 March 2020 we asked you: “Which film did you use?”" in said


def test_a_payment_may_be_on_its_way() -> None:
    said = call(Owes.PAYMENT, due="£97", finding=finding())
    assert "We have not seen £97 arrive yet. If it is on its way, all is well." in said
    assert "screw" not in said


def test_what_waits_to_be_collected_is_told_with_the_hours() -> None:
    said = call(Owes.COLLECTION, due="£97", hours="Tuesday to Saturday,\n10 to 5.")
    assert "We are here Tuesday to Saturday, 10 to 5." in said
    assert "£97 is to be paid when you come." in said


@pytest.mark.parametrize("about", list(Owes))
def test_nothing_is_said_of_what_is_not_known(about: Owes) -> None:
    said = call(about)
    for nothing in ("None", "“”", "£", "  ", "found", "%("):
        assert nothing not in said


@pytest.mark.parametrize("about", [Owes.QUOTE, Owes.QUESTION, Owes.PAYMENT])
def test_only_where_their_page_was_not_opened_we_wonder_whether_our_letter_came(about: Owes) -> None:
    assert "whether our letter reached you" in call(about, reached=False)
    assert "letter" not in call(about, reached=True)


@pytest.mark.parametrize("about", list(Owes))
@pytest.mark.parametrize("reached", [True, False])
def test_nobody_is_urged_blamed_or_told_that_they_were_watched(about: Owes, reached: bool) -> None:
    said = call(
        about, reached=reached, finding=finding(), offered="£97", due="£97", last_day=date(2020, 4, 7)
    )
    for word in ("must", "urgent", "overdue", "late", "opened", "read it", "immediately", "only until", "!"):
        assert word not in said.lower()


@pytest.mark.parametrize(
    ("certainty", "said"),
    [
        (Certainty.SEEN, "We saw that ourselves."),
        (Certainty.MEASURED, "We measured that."),
        (Certainty.INFERRED, "nobody saw it happen"),
        (Certainty.UNTRIED, "nobody can know until it is tried"),
    ],
)
def test_how_sure_we_are_is_always_said(certainty: Certainty, said: str) -> None:
    assert said in call(finding=finding(certainty=certainty))


def test_a_title_that_is_a_question_is_told_by_its_short_sentence() -> None:
    asked = finding("Can the haze inside my lens be cleaned?", certainty="untried")
    asked.shown = {"short": "There is haze inside the lens."}
    assert "What we found: There is haze inside the lens. More than that" in call(finding=asked)


def test_what_explains_the_story_comes_before_what_is_worse() -> None:
    mild = finding("mild", pk="1", bearing=Bearing.EXPLAINS, effect=Effect.LOOKS)
    worse = finding("worse", pk="2", bearing=Bearing.SEPARATE, effect=Effect.STOPS)
    assert that_matters([worse, mild]) is mild


def test_of_two_that_explain_it_the_worse_is_told() -> None:
    looks = finding("looks", pk="1", effect=Effect.LOOKS)
    stops = finding("stops", pk="2", effect=Effect.STOPS)
    assert that_matters([looks, stops]) is stops


def test_what_came_from_use_is_told_only_where_there_is_nothing_else() -> None:
    use = finding("use", pk="1", bearing=Bearing.USE)
    other = finding("other", pk="2", bearing=Bearing.SEPARATE, effect=Effect.KNOW)
    assert that_matters([use, other]) is other
    assert that_matters([use]) is use


def test_what_was_ruled_out_is_not_what_we_found() -> None:
    assert that_matters([finding(certainty=Certainty.RULED_OUT)]) is None
    assert that_matters([]) is None
