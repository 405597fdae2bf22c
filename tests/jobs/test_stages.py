import re
from pathlib import Path

import pytest

from jobs import stages
from jobs.words import Holder, Stage

MAP = Path(__file__).parents[2] / "DEVELOPERS.md"


def test_every_stage_has_moves_and_a_holder() -> None:
    assert set(stages.MOVES) == set(stages.HOLDERS) == set(Stage)


def test_every_stage_but_the_last_two_leads_on() -> None:
    assert {stage for stage, onward in stages.MOVES.items() if not onward} == stages.OVER


@pytest.mark.parametrize("stage", Stage)
def test_every_stage_can_be_reached(stage: Stage) -> None:
    assert stage == Stage.EXPECTED or any(stage in onward for onward in stages.MOVES.values())


@pytest.mark.parametrize("stage", Stage)
def test_the_customer_is_told_what_comes_next_at_every_stage(stage: Stage) -> None:
    assert (stage, stages.HOLDERS[stage]) in stages.NEXT_WORDS


def test_once_the_work_has_begun_nothing_is_withdrawn() -> None:
    assert not stages.MAY_WITHDRAW & {Stage.IN_WORK, Stage.PROVING, Stage.READY, Stage.RETURNED}


@pytest.mark.parametrize("holder", Holder)
def test_every_holder_has_words(holder: Holder) -> None:
    assert holder in stages.MOVE_WORDS


def test_the_diagram_for_developers_shows_exactly_these_moves() -> None:
    drawn = set(re.findall(r"^ +(\w+) --> (\w+)$", MAP.read_text(), re.MULTILINE))
    assert drawn == {(here.value, there.value) for here, onward in stages.MOVES.items() for there in onward}
