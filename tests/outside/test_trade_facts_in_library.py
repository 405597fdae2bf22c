"""The library against facts of the trade that others have published, each with its source."""

import re

import pytest

from jobs.library import entries, get


def _text(key: str) -> str:
    return " ".join(get(key).sample().plain().split())


def test_a_counter_put_together_wrongly_stops_the_advance_near_22() -> None:
    """Common practice, no source: a mis-assembled counter locks the advance near frame 22."""
    entry = get("counter/stops-at-one-number")
    shown = entry.fill({"frame": 22, "cover": "off"})
    assert entry.bearing == "earlier"
    assert "put back a few teeth out of place" in shown.short
    assert "at 22 instead of after the last frame" in shown.short


def test_the_rewind_release_cannot_latch_while_the_lever_is_part_way() -> None:
    """Common practice, no source."""
    entry = get("rewind/button-will-not-stay-in")
    assert entry.bearing == "use"
    assert "cannot catch until the lever is home" in entry.sample().short


def test_haze_may_be_oil_that_cleans_or_glass_that_will_not() -> None:
    """Common practice, no source; the certainty is therefore "not known until tried"."""
    entry = get("lens/haze-inside")
    told = {outcome.key: outcome.text for outcome in entry.outcomes}
    assert entry.certainty == "untried"
    assert "comes off" in told["clears"]
    assert "The glass itself has changed" in told["stays"]
    assert "two surfaces that face the shutter blades" in _text("lens/haze-inside")


def test_a_mercury_cell_gave_a_steady_1_35_volts() -> None:
    """A cell maker's question page and a camera history wiki: mercury 1.35 V and nearly flat."""
    text = _text("meter/wrong-battery-voltage")
    assert "It gave 1.35 volts (1) from its first day to its last" in text
    assert "no longer sold in most countries" in text


@pytest.mark.parametrize(
    ("cell", "nature"), [("alkaline", "falls"), ("silver", "steady"), ("zinc", "some months")]
)
def test_each_battery_behaves_as_its_chemistry_does(cell: str, nature: str) -> None:
    """Same sources: alkaline 1.5 V and falling, silver oxide 1.55 V and flat, zinc-air 1.4 V and short-lived."""
    shown = get("meter/wrong-battery-voltage").fill({"cell": cell, "volts": "1.50", "error": "one"})
    assert nature in shown.plain()


def test_a_meter_error_is_measured_and_never_worked_out_from_volts() -> None:
    """Same sources: the error depends on the circuit."""
    assert "never work it out from the volts alone" in _text("meter/wrong-battery-voltage")


def test_slow_speeds_fail_by_gummed_oil_and_fast_ones_do_not_use_the_clockwork() -> None:
    """A darkroom school's shutter page: slow speeds fail by gummed oil, fast ones by tired springs."""
    text = _text("leaf_shutter/slow-speeds-drag")
    assert "gummed with old oil" in text
    assert "so the fast speeds still work" in text


def test_oil_on_iris_blades_creeps_from_the_focus_grease() -> None:
    """Two lens repairers' pages on oily aperture blades."""
    assert "The oil comes out of the focus grease" in _text("aperture/oily-iris")


def test_bumps_are_two_metals_at_work_and_mostly_a_matter_of_looks() -> None:
    """A camera history wiki's glossary: brass rivet and steel plate react; cosmetic in most cases."""
    entry = get("covering/bumps-under-the-covering")
    assert entry.effect == "looks"
    assert "two metals meet and damp reaches them" in _text(entry.key)


def test_cement_separation_cannot_be_undone_and_recementing_may_shift_the_centre() -> None:
    """A lens blog and a stereo camera club's questions page."""
    undone = get("lens/glasses-coming-apart").sample().section("not_undone")
    assert undone is not None
    assert "cannot be brought back" in undone.html
    assert "off its old centre" in undone.html


def test_a_dark_band_lies_on_the_side_exposed_last() -> None:
    """A tester builder's page: the closing curtain catches the opening one."""
    assert "The slit is right at the start (1) and closes on the way (2)" in _text(
        "focal_shutter/dark-side-at-fast-speeds"
    )


def test_a_rangefinder_is_set_at_far_and_again_at_one_metre() -> None:
    """A repair forum's page: infinity and one metre must both agree."""
    assert "set the rangefinder at far, and again at one metre" in _text(
        "rangefinder/distance-does-not-agree"
    )


def test_a_tired_selenium_cell_cannot_be_made_new() -> None:
    """From memory, no source found."""
    assert "cannot be made strong again" in _text("meter/selenium-cell-tired")


def test_a_flash_capacitor_holds_about_300_volts_for_hours_to_weeks() -> None:
    """A camera repair wiki's page on flash capacitor safety: 300 to 330 V, hours to weeks."""
    assert re.search(
        r"some 300 volts are stored for hours and sometimes weeks",
        _text("self_timer/flash-lights-part-of-the-picture"),
    )


def test_nobody_is_told_how_much_thorium_a_glass_holds() -> None:
    """Published figures differ (12, 28, 30 and 40 per cent), so the library gives none."""
    from jobs.library import cautions

    assert not re.search(r"\d", cautions()["thoriated-glass"].text)


@pytest.mark.parametrize("key", sorted(entries()))
def test_an_entry_names_where_its_facts_come_from(key: str) -> None:
    """House rule: a source, or the words "common practice", or "from memory"."""
    assert all(len(source) > 10 for source in get(key).sources)
