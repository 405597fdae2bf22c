"""What a text message can carry, and in how many parts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notifications.gsm import BASIC, EXTENDED, is_inside, parts, writable

SEPTETS = st.text(alphabet=BASIC + EXTENDED, max_size=700)
ANYTHING = st.text(max_size=400)


def cut(text: str, size_of, room: int) -> list[str]:
    """The plain way to cut a text: sign after sign, into the next part when it does not fit."""
    found = [""]
    for sign in text:
        if sum(map(size_of, found[-1])) + size_of(sign) > room:
            found.append("")
        found[-1] += sign
    return found


def septets(sign: str) -> int:
    return 2 if sign in EXTENDED else 1


def units(sign: str) -> int:
    return 2 if ord(sign) > 0xFFFF else 1


@given(SEPTETS)
def test_parts_are_as_many_as_cutting_by_hand_gives(text):
    whole = sum(map(septets, text))
    assert parts(text) == (1 if whole <= 160 else len(cut(text, septets, 153)))


@given(st.text(alphabet="aжß😀漢", min_size=1, max_size=400).filter(lambda text: not is_inside(text)))
def test_another_script_is_counted_in_sixteen_bit_signs(text):
    whole = sum(map(units, text))
    assert parts(text) == (1 if whole <= 70 else len(cut(text, units, 67)))


@given(ANYTHING)
def test_making_a_text_writable_twice_changes_nothing_more(text):
    assert writable(writable(text)) == writable(text)


@given(ANYTHING)
def test_what_comes_out_never_holds_control_signs(text):
    assert not [
        sign for sign in writable(text) if sign != "\n" and (ord(sign) < 32 or 127 <= ord(sign) < 160)
    ]


@given(SEPTETS.map(lambda text: text.replace("\r", "").replace("\f", "")))
def test_what_is_inside_the_alphabet_stays_as_it_is(text):
    assert writable(text) == text


@pytest.mark.parametrize(
    ("typed", "sent"),
    [
        ("“Ready” – it’s done…", '"Ready" - it\'s done...'),
        ("Grüße, señor, Ça va: garçon", "Grüße, señor, Ça va: garcon"),
        ("Łódź, Çeşme, Dvořák", "Lodz, Çesme, Dvorak"),
        ("€ 12\xa0[net]", "€ 12 [net]"),
        ("done 🎉 now", "done  now"),
        ("ﬁlm ½", "film 1/2"),
    ],
)
def test_a_text_is_written_inside_the_alphabet_where_it_can_be(typed, sent):
    assert writable(typed) == sent
    assert is_inside(writable(typed))


def test_a_text_in_another_script_stays_readable():
    text = "Ваша камера готова"
    assert writable(text) == text
    assert not is_inside(text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [("a" * 160, 1), ("a" * 161, 2), ("a" * 306, 2), ("a" * 307, 3), ("€" * 80, 1), ("€" * 81, 2)],
)
def test_the_limits_of_seven_bits(text, expected):
    assert parts(text) == expected


@pytest.mark.parametrize(("text", "expected"), [("ж" * 70, 1), ("ж" * 71, 2), ("ж" * 134, 2), ("ж" * 135, 3)])
def test_the_limits_of_sixteen_bits(text, expected):
    assert parts(text) == expected


def test_a_sign_of_two_septets_is_not_cut_in_two():
    assert parts("a" * 151 + "€" + "a" * 153) == 2
    assert parts("a" * 152 + "€" + "a" * 152) == 3  # 306 septets, but the euro sign begins the second part
