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


# --- the whole collection -------------------------------------------------------------------------------------------

PITCH_MM = 0.1870 * 25.4  # KS-1870: 0.1870 inch from hole to hole, the pitch that ISO 1007 gives as 4.750 mm


def test_a_picture_on_35_mm_film_takes_eight_holes_and_38_millimetres() -> None:
    """ISO 1007 and the name KS-1870 (a research institute's page on film perforations); eight holes a picture."""
    text = _text("transport/frames-overlap")
    assert "Eight holes of the film belong to each picture" in text
    assert round(8 * PITCH_MM) == 38
    assert "A full step is 38 mm" in text


def test_a_picture_is_36_millimetres_long_so_a_shorter_step_overlaps() -> None:
    """Common practice, no source: 24 x 36 mm."""
    assert "any step under 36 mm makes an overlap" in _text("transport/frames-overlap")


def test_ten_feet_are_three_metres() -> None:
    """The international foot of 1959 is 0.3048 m."""
    assert round(10 * 0.3048) == 3
    assert "Ten feet (2) are only about three metres" in _text("focus/feet-or-metres")


def test_a_top_speed_may_stay_slow_and_is_then_reported() -> None:
    """A shutter workshop's terms of service: the top speed may stay about half as long again; the owner is told the figure."""
    entry = get("leaf_shutter/top-speed-slow")
    assert entry.certainty in {"measured", "untried"}
    assert "We will not promise the engraved figure" in _text(entry.key)


def test_fungus_may_have_etched_the_glass_and_nobody_knows_before_it_is_clean() -> None:
    """Two pages on lens fungus: some kinds give off acid; etched marks stay."""
    entry = get("lens/fungus")
    text = _text(entry.key)
    assert entry.certainty == "untried"
    assert "weak acid" in text
    assert "the mark stays" in text


def test_the_fear_that_one_lens_infects_all_is_not_fed() -> None:
    """A lens cleaner's page calls it overstated."""
    assert "Other lenses are less at risk than people fear" in _text("lens/fungus")


def test_yellowed_glass_clears_under_ultraviolet_and_comes_back_over_years() -> None:
    """A health physics museum's page on camera lenses, and an encyclopedia's on thoriated glass."""
    text = _text("lens/yellowed-glass")
    assert "ultraviolet lamp" in text
    assert "the colour comes back slowly" in text
    assert "magnifier held to the eye" in text
    assert "thoriated-glass" in get("lens/yellowed-glass").front.cautions


def test_a_focal_plane_shutter_s_slow_speeds_gum_as_a_leaf_shutter_s_do() -> None:
    """A darkroom school's shutter page: slow speeds fail by gummed oil."""
    text = _text("focal_shutter/slow-speeds-stick")
    assert "Oil that has thickened over the years" in text
    assert "The fast speeds do not use it" in text


def test_working_a_gummed_shutter_loose_helps_for_days_and_not_for_years() -> None:
    """Common practice, no source."""
    assert "helps for some days and then it comes back" in _text("focal_shutter/slow-speeds-stick")


def test_setting_only_the_springs_of_stiff_curtains_does_not_last() -> None:
    """Common practice, no source: both curtains are renewed; setting the springs alone fails soon."""
    assert "It fails again within months, so we do not offer it" in _text("focal_shutter/cloth-gone-stiff")


def test_old_brake_pads_are_never_called_harmless() -> None:
    """From memory: what they are made of is unknown without a laboratory's report."""
    text = _text("focal_shutter/bright-strip-at-one-edge")
    assert "We do not know what old brake pads are made of" in text
    assert not any(
        re.search("asbestos", entry.sample().plain(), re.IGNORECASE) for entry in entries().values()
    )


def test_no_entry_states_a_cause_for_what_is_only_inferred() -> None:
    """Common practice: what is inferred is never worded as the cause."""
    inferred = [entry for entry in entries().values() if entry.certainty in {"inferred", "untried"}]
    assert len(inferred) >= 40
    for entry in inferred:
        assert not re.search(r"\bthe cause is\b", entry.sample().plain(), re.IGNORECASE), entry.key


def test_no_owner_is_promised_clear_glass() -> None:
    """Common practice: promise a cleaning and photographs before and after, never clear glass."""
    for key in ("lens/haze-inside", "lens/fungus", "lens/oily-film"):
        assert get(key).outcomes, key
        assert "under the same lamp" in _text(key), key


@pytest.mark.parametrize(
    ("key", "caution"),
    [
        ("self_timer/built-in-flash-dead", "flash-capacitor"),
        ("meter/battery-leak-inside", "battery-leak"),
        ("meter/selenium-cell-tired", "selenium"),
        ("leaf_shutter/no-snap-at-any-speed", "spring"),
        ("lens/fungus", "mould"),
        ("covering/bumps-under-the-covering", "green-dust"),
        ("meter/wrong-battery-voltage", "mercury-cell"),
        ("transport/torn-film-holes", "film-inside"),
    ],
)
def test_a_hazard_of_the_trade_stands_with_its_caution(key: str, caution: str) -> None:
    """Common practice, no source: the cautions that repair guides give with each kind of work."""
    assert caution in get(key).front.cautions


def test_the_collection_is_as_large_and_as_honest_as_it_set_out_to_be() -> None:
    """House rule: at least 120 entries, 20 matters of use, 20 not known until tried, 10 that cannot be undone, 30 drawings."""
    every = list(entries().values())
    assert len(every) >= 120
    assert sum(entry.bearing == "use" for entry in every) >= 20
    assert sum(bool(entry.outcomes) for entry in every) >= 20
    assert sum("not_undone" in entry.written for entry in every) >= 10
    assert sum(entry.front.drawing is not None for entry in every) >= 30
    assert len({entry.mechanism for entry in every}) >= 14
