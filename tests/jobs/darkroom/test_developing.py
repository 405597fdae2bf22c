"""A stranger's file, decoded in a bounded child process and stored anew. Every file here is real and is really developed."""

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageChops, ImageStat

from jobs.darkroom import process, store
from jobs.darkroom.process import Developed, Failed, develop
from tests.jobs.darkroom import pictures

TOO_LARGE = "This photo is too large to open. A smaller copy will do."
DAMAGED = "This photo arrived damaged. Please send it once more."
MOVING = "This is a moving picture. Please send a still photo."

Develop = Callable[[bytes], Developed | Failed]


@pytest.fixture
def developed(media: Path) -> Develop:
    return lambda content: develop(store.keep_incoming([content]))


def largest(done: Developed | Failed) -> bytes:
    """The bytes of the largest size that is served."""
    assert isinstance(done, Developed), done
    return store.path(done.sizes[max(done.sizes, key=int)]).read_bytes()


def opened(content: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(content))
    picture.load()
    return picture


def difference(one: Image.Image, other: Image.Image) -> float:
    """Mean difference of two pictures of one size, in steps of 256."""
    return max(ImageStat.Stat(ImageChops.difference(one, other)).mean)


def test_a_photograph_comes_in_three_sizes_none_larger_than_itself(developed: Develop) -> None:
    done = developed(pictures.saved(pictures.quarters(1700, 1200)))
    assert isinstance(done, Developed)
    assert (done.width, done.height, sorted(done.sizes)) == (1700, 1200, ["1600", "400", "800"])


def test_a_small_one_keeps_its_size(developed: Develop) -> None:
    done = developed(pictures.saved(pictures.quarters(320, 240)))
    assert isinstance(done, Developed)
    assert list(done.sizes) == ["320"]


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_every_kind_that_we_take_is_stored_as_a_jpeg_that_looks_the_same(
    developed: Develop, kind: str
) -> None:
    picture = opened(largest(developed(pictures.saved(pictures.quarters(), kind))))
    assert picture.format == "JPEG"
    assert difference(picture, pictures.quarters()) < 4


def test_what_is_clear_stands_on_white(developed: Develop) -> None:
    clear = pictures.saved(Image.new("RGBA", (300, 300), (0, 0, 0, 0)), "PNG")
    assert opened(largest(developed(clear))).getpixel((150, 150)) == (255, 255, 255)


def test_a_phones_jpeg_with_a_second_picture_is_taken_and_the_first_kept(developed: Develop) -> None:
    content = pictures.two_pictures()
    assert Image.open(io.BytesIO(content)).format == "MPO"
    assert difference(opened(largest(developed(content))), pictures.quarters()) < 4


# --- bombs ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("side", [9_000, 13_000, 19_000, 30_000])
def test_a_few_kilobytes_that_open_to_81_169_361_and_900_megapixels_are_refused(
    developed: Develop, side: int
) -> None:
    content = pictures.bomb(side)
    assert len(content) < 1_000_000
    assert developed(content) == Failed(TOO_LARGE)


@pytest.mark.parametrize(("width", "height"), [(20_000, 1), (1, 20_000), (12_001, 2)])
def test_a_thread_of_pixels_is_refused(developed: Develop, width: int, height: int) -> None:
    assert developed(pictures.bomb(width, height)) == Failed(TOO_LARGE)


def test_the_largest_that_is_allowed_is_developed_within_the_childs_memory(developed: Develop) -> None:
    done = developed(pictures.clear_colour(8_000, 7_500))
    assert isinstance(done, Developed), done
    assert done.height / done.width == pytest.approx(7_500 / 8_000)


def test_a_phones_fifty_megapixels_are_developed(developed: Develop) -> None:
    done = developed(pictures.saved(Image.new("RGB", (8_160, 6_120), "saddlebrown"), quality=80))
    assert isinstance(done, Developed)


def test_a_text_that_swells_to_200_megabytes_is_refused(developed: Develop) -> None:
    content = pictures.with_swollen_text()
    assert len(content) < 2_000_000
    assert isinstance(developed(content), Failed)


@pytest.mark.parametrize("kind", ["WEBP", "PNG"])
def test_a_moving_picture_is_refused_in_words(developed: Develop, kind: str) -> None:
    assert developed(pictures.moving(kind)) == Failed(MOVING)


def test_a_child_that_takes_too_long_is_ended(developed: Develop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(process, "SECONDS", 0.01)
    assert developed(pictures.saved(pictures.quarters())) == Failed(TOO_LARGE)


# --- what is no photograph --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", list(pictures.NOT_PHOTOGRAPHS))
def test_no_other_decoder_ever_sees_a_file(developed: Develop, name: str) -> None:
    """Even one that got past the look at its first bytes."""
    assert developed(pictures.NOT_PHOTOGRAPHS[name]) == Failed(DAMAGED)


def test_a_jpeg_that_was_cut_short_says_so(developed: Develop) -> None:
    whole = pictures.grain()
    assert isinstance(developed(whole), Developed)
    assert developed(whole[: len(whole) // 2]) == Failed(DAMAGED)


@pytest.mark.parametrize("head", [b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF\0\0\0\0WEBP"])
def test_a_good_beginning_and_rubbish_behind_it_says_so(developed: Develop, head: bytes) -> None:
    assert developed(head + b"rubbish" * 400) == Failed(DAMAGED)


# --- what is left behind ----------------------------------------------------------------------------------------------


def test_a_script_behind_a_picture_is_not_in_what_is_served(developed: Develop) -> None:
    content = pictures.saved(pictures.quarters(), "PNG") + pictures.SCRIPT
    done = developed(content)
    assert isinstance(done, Developed)
    assert not any(b"<script" in store.path(name).read_bytes() for name in done.sizes.values())


def test_place_and_phone_are_gone_from_every_size(developed: Develop) -> None:
    content = pictures.with_place()
    before = Image.open(io.BytesIO(content)).getexif()
    assert before[pictures.MAKE] == "Nightjar Phones"
    assert before.get_ifd(pictures.GPS)
    done = developed(content)
    assert isinstance(done, Developed)
    for name in done.sizes.values():
        stored = store.path(name).read_bytes()
        assert not opened(stored).getexif()
        assert b"Nightjar" not in stored
        assert b"Exif" not in stored


def test_a_comment_and_a_profile_are_gone(developed: Develop) -> None:
    content = pictures.saved(pictures.quarters(), comment=b"my address", icc_profile=b"not a profile")
    stored = largest(developed(content))
    assert b"my address" not in stored
    assert "icc_profile" not in opened(stored).info


@pytest.mark.parametrize("orientation", range(1, 9))
def test_it_stands_upright_however_the_phone_was_held(developed: Develop, orientation: int) -> None:
    picture = opened(largest(developed(pictures.turned(orientation))))
    assert picture.size == (640, 480)
    assert difference(picture, pictures.quarters()) < 4


def test_a_large_one_stands_upright_too(developed: Develop) -> None:
    picture = opened(largest(developed(pictures.turned(6, 1_000, 6_500, "PNG"))))
    assert picture.height > 6 * picture.width
    assert difference(picture, pictures.quarters(*picture.size)) < 4


# --- the store --------------------------------------------------------------------------------------------------------


def test_a_stored_file_is_named_by_its_content(developed: Develop) -> None:
    import hashlib

    done = developed(pictures.saved(pictures.quarters()))
    assert isinstance(done, Developed)
    for name in done.sizes.values():
        sha = hashlib.sha256(store.path(name).read_bytes()).hexdigest()
        assert name == f"{sha[:2]}/{sha}.jpg"


def test_equal_pictures_are_stored_once(developed: Develop, media: Path) -> None:
    one, other = (developed(pictures.saved(pictures.quarters())) for _ in range(2))
    assert one == other
    assert len(list(media.glob("??/*"))) == len(one.sizes)  # type: ignore[union-attr]


@pytest.mark.parametrize("name", ["../secret", "/etc/passwd", "ab/../../x"])
def test_no_name_leads_out_of_the_store(media: Path, name: str) -> None:
    with pytest.raises(ValueError):
        store.path(name)


def test_nothing_half_written_ever_bears_a_stored_name(media: Path, tmp_path: Path, monkeypatch: Any) -> None:
    source = tmp_path / "400.jpg"
    source.write_bytes(b"picture")

    def power_cut(_number: int) -> None:
        raise OSError("power cut")

    monkeypatch.setattr(store.os, "fsync", power_cut)
    with pytest.raises(OSError, match="power cut"):
        store.put(source)
    assert not list(media.glob("??/*.jpg"))
