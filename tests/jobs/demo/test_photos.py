"""The demo's photographs: small, plain JPEGs of one shape, each described, each mark inside its picture."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

PHOTOS = Path(__file__).parents[3] / "jobs" / "demo" / "photos"
SIZES = {(1600, 1200), (1200, 1600), (1600, 1067)}
NAMES = sorted(path.stem for path in PHOTOS.glob("*.jpg"))


def described() -> dict[str, Any]:
    return tomllib.loads((PHOTOS / "marks.toml").read_text())


def test_every_photograph_is_described_and_every_description_has_its_photograph() -> None:
    assert NAMES
    assert sorted(described()) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_a_photograph_is_under_150_kilobytes(name: str) -> None:
    assert (PHOTOS / f"{name}.jpg").stat().st_size < 150_000


@pytest.mark.parametrize("name", NAMES)
def test_a_photograph_is_a_jpeg_of_an_agreed_size(name: str) -> None:
    with Image.open(PHOTOS / f"{name}.jpg") as picture:
        assert (picture.format, picture.size in SIZES) == ("JPEG", True)


@pytest.mark.parametrize("name", NAMES)
def test_a_photograph_carries_no_metadata(name: str) -> None:
    with Image.open(PHOTOS / f"{name}.jpg") as picture:
        assert not picture.getexif()
        assert not {"exif", "icc_profile", "comment", "xmp", "photoshop"} & set(picture.info)


@pytest.mark.parametrize("name", NAMES)
def test_a_photograph_has_one_plain_line_and_marks_inside_the_picture(name: str) -> None:
    entry = described()[name]
    assert entry["note"].endswith(".")
    assert "\n" not in entry["note"]
    assert entry["marks"]
    for across, down in entry["marks"].values():
        assert 20 <= across <= 980
        assert 20 <= down <= 980
