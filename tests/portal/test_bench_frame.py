import json

from tests.benchmarks import frame


def test_a_row_says_whether_its_aim_holds():
    assert frame.at_most("queries", 12, "", 12).holds
    assert not frame.at_most("queries", 13, "", 12).holds
    assert not frame.at_least("kept promises", 0.79, "", 0.8).holds


def test_a_measurement_that_fails_is_a_missed_row_and_the_others_are_kept():
    def broken():
        raise RuntimeError("no page")

    rows = frame.take([broken, lambda: frame.at_most("size", 9, "kB", 14)])
    assert [row.holds for row in rows] == [False, True]
    assert "no page" in rows[0].aim


def test_the_table_shows_what_was_missed():
    shown = frame.table([frame.at_most("size", 15, "kB", 14)])
    assert "MISSED" in shown


def test_the_file_holds_a_list_of_rows(tmp_path):
    frame.keep([frame.at_most("size", 9, "kB", 14)], tmp_path / "var" / "bench.json")
    kept = json.loads((tmp_path / "var" / "bench.json").read_text())
    assert kept == [{"name": "size", "value": 9, "unit": "kB", "aim": "at most 14", "holds": True}]
