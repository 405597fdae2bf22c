"""Drawings are well-formed, say what they show, and move with their parameters."""

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from django.conf import settings

from jobs.library import BadFact, drawing
from jobs.library.draw import FOLDER, get, names

NS = {"svg": "http://www.w3.org/2000/svg"}


@pytest.mark.parametrize("name", names())
def test_a_drawing_is_well_formed_and_described(name: str) -> None:
    tree = ET.fromstring(drawing(name))
    ids = {element.get("id"): (element.text or "") for element in tree.iter() if element.get("id")}
    assert tree.get("role") == "img"
    assert ids[tree.get("aria-labelledby")] == get(name).front.title
    assert len(ids[tree.get("aria-describedby")]) > 40


@pytest.mark.parametrize("name", names())
def test_a_drawing_keeps_to_the_shared_classes(name: str) -> None:
    used = set(" ".join(re.findall(r'class="([^"]+)"', drawing(name))).split())
    styled = set(re.findall(r"\.([a-z]+)", (FOLDER / "drawing.css").read_text()))
    assert used <= styled | {"mark", "haze"}


@pytest.mark.parametrize("name", names())
def test_every_parameter_of_a_drawing_moves_it(name: str) -> None:
    plain = _without_ids(drawing(name))
    for param in get(name).front.param:
        others = param.words or [str(param.low), str(param.high)]
        assert (
            any(_without_ids(drawing(name, **{param.key: other})) != plain for other in others)
            or param.key == "way"
        )


def test_the_lever_turns_by_the_angle_given() -> None:
    assert 'transform="rotate(-65 288 94)"' in drawing("winding-lever", angle=65)


def test_the_counter_shows_the_frame_given_under_its_pointer() -> None:
    svg = drawing("frame-counter", frame=22)
    dial = re.search(r'<g transform="rotate\((\d+) 150 128\)"><path class="paper"', svg)
    assert dial is not None
    assert (
        f'<g transform="rotate(-{dial.group(1)} 150 128)">' in svg
    )  # the mark of frame 22 turns back to the top


def test_each_hazy_surface_is_drawn() -> None:
    assert drawing("lens-section", hazy="4 5").count('class="haze') == 2
    assert drawing("lens-section", hazy="2 3 4 5").count('class="haze') == 4


def test_the_same_drawing_is_the_same_text_and_another_has_other_ids() -> None:
    assert drawing("iris", really=60) == drawing("iris", really=60)
    assert _ids(drawing("iris", really=60)).isdisjoint(_ids(drawing("iris", really=61)))


@pytest.mark.parametrize("params", [{"angle": 500}, {"angle": "wide"}, {"angel": 40}, {"angle": "1 2"}])
def test_a_parameter_that_cannot_be_drawn_is_refused(params: dict[str, str | int]) -> None:
    with pytest.raises(BadFact):
        drawing("winding-lever", **params)


def test_a_drawing_that_does_not_exist_is_an_error() -> None:
    with pytest.raises(KeyError):
        drawing("no-such-drawing")


def _ids(svg: str) -> set[str]:
    return set(re.findall(r' id="([^"]+)"', svg))


def _without_ids(svg: str) -> str:
    return re.sub(r"\bd[0-9a-f]{8}-", "", re.sub(r"<desc.*?</desc>", "", svg))


def test_the_pages_stylesheet_has_taken_over_the_drawings_style() -> None:
    page = (Path(settings.BASE_DIR) / "portal" / "static" / "portal" / "benchletter.css").read_text()
    rules = [line for line in (FOLDER / "drawing.css").read_text().splitlines() if line.startswith(".")]
    assert [rule for rule in rules if re.sub(r"\s", "", rule) not in re.sub(r"\s", "", page)] == []
