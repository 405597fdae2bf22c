"""References against the published Crockford base 32 (crockford.com/base32.html) and the PyPI package base32-crockford."""

import base32_crockford
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs import refs

numbers = st.integers(min_value=0, max_value=32**6 - 1)


def test_the_alphabet_leaves_out_i_l_o_and_u_as_published() -> None:
    assert not set("ILOU") & set(refs.DIGITS)
    assert refs.CHECKS == "0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U"


@given(numbers)
def test_symbols_and_check_symbol_are_those_of_the_reference_package(number: int) -> None:
    assert refs.encode(number).lstrip("0") == base32_crockford.encode(number, checksum=True).lstrip("0")


@given(numbers)
def test_the_reference_package_reads_what_we_write(number: int) -> None:
    assert base32_crockford.decode(refs.encode(number), checksum=True) == number


@pytest.mark.parametrize(
    ("typed", "meant"), [("o", "0"), ("O", "0"), ("i", "1"), ("I", "1"), ("l", "1"), ("L", "1")]
)
def test_look_alikes_are_read_as_the_published_table_says(typed: str, meant: str) -> None:
    ref = refs.encode(int("1", 32))
    assert refs.decode(ref) == refs.decode(
        ref.replace("1", typed if meant == "1" else "1").replace("0", typed if meant == "0" else "0")
    )
