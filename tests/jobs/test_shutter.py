import pytest

from jobs import shutter


def test_a_slow_second_is_told_in_stops() -> None:
    reading = shutter.reading("1", 1_900_000)
    assert reading.stops == pytest.approx(0.926, abs=0.001)
    assert not reading.within


def test_fast_marks_are_judged_more_gently() -> None:
    assert shutter.tolerance(shutter.TARGETS["1/125"]) < shutter.tolerance(shutter.TARGETS["1/250"])


@pytest.mark.parametrize("measured", [0, -1])
def test_a_time_that_cannot_be_is_refused(measured: int) -> None:
    with pytest.raises(ValueError):
        shutter.reading("1/60", measured)


def test_a_mark_on_no_dial_is_refused() -> None:
    with pytest.raises(KeyError):
        shutter.reading("1/7", 1000)
