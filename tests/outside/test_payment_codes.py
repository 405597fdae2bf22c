"""References, accounts and codes against things that we did not make.

- ISO 11649: the examples of python-stdnum's documentation (stdnum/iso11649.py) and the widely printed RF18 5390 0754 7034, with the
  remainder by 97 worked out here by hand, symbol by symbol.
- EPC069-12, version 3.1 (19 March 2024), section 2.3, the guideline's two examples; their text came to us by a copy in a public
  repository and by three others that test against it, not by the Council's own file.
- The pictures are read back by zxing-cpp, and compared module for module with what segno's own helper makes.
"""

import io
from string import ascii_uppercase, digits

import pytest
import resvg_py
import segno.helpers
import zxingcpp
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from jobs import refs
from jobs.paying import (
    creditor_reference,
    epc_payload,
    epc_png,
    epc_svg,
    is_iban,
    read_reference,
    show_reference,
    tidy_bic,
    tidy_iban,
)
from jobs.paying.references import sound

VALUES = digits + ascii_uppercase  # ISO 7064: 0 to 9, then A is 10 and Z is 35


def remainder(reference: str) -> int:
    """Of ISO 7064 MOD 97-10, one symbol after the other: what stands in front ("RF" and the check digits) goes to the end."""
    rest = 0
    for symbol in reference[4:] + reference[:4]:
        value = VALUES.index(symbol)
        rest = (rest * (100 if value > 9 else 10) + value) % 97
    return rest


@pytest.mark.parametrize(
    ("printed", "bare"),
    [
        ("RF18 5390 0754 7034", "RF18539007547034"),
        ("RF18 5390 0754 70Y", "RF185390075470Y"),
        ("RF18 0000 0000 0539 0075 4703 4", "RF18000000000539007547034"),
    ],
)
def test_the_published_references_are_sound_and_printed_so(printed: str, bare: str) -> None:
    assert sound(printed) == bare
    assert show_reference(bare) == printed
    assert remainder(bare) == 1


@pytest.mark.parametrize("wrong", ["RF17 5390 0754 7034", "RF18 5390 0754 7043", "RF81 5390 0754 7034"])
def test_a_published_reference_with_a_slip_is_not(wrong: str) -> None:
    with pytest.raises(ValueError):
        sound(wrong)


@given(st.builds(refs.draw))
def test_every_reference_of_ours_leaves_one_by_ninety_seven(ref: str) -> None:
    made = creditor_reference(ref)
    assert remainder(made) == 1
    assert len(made) <= 25  # the standard's longest
    assert made.isascii()
    assert made.isalnum()
    assert read_reference(made) == ref


@pytest.mark.parametrize(
    "printed",
    [
        "GR16 0110 1050 0000 1054 7023 795",  # python-stdnum's documentation, stdnum/iban.py
        "BE31 4354 1116 1155",  # the same
        "DE71 1102 2033 0123 4567 89",  # EPC069-12, 2.3
        "FR14 2004 1010 0505 0001 3M02 606",  # EPC069-12, 2.3
        "GB82 WEST 1234 5698 7654 32",  # printed everywhere as the British example; from memory
    ],
)
def test_the_published_accounts_are_sound(printed: str) -> None:
    assert is_iban(printed)
    assert remainder(tidy_iban(printed)) == 1


@pytest.mark.parametrize("printed", ["AGRIFRPP882", "ABNA BE 2A", "AGRIFRPP", "BHBLDEHHXXX"])
def test_the_published_bank_codes_are_sound(printed: str) -> None:
    """python-stdnum's documentation, stdnum/bic.py; the last one EPC069-12, 2.3."""
    assert tidy_bic(printed) == printed.replace(" ", "")


def test_the_guidelines_example_of_version_2_but_for_the_character_set() -> None:
    """It is in ISO 8859-1 (2), ours in UTF-8 (1); it leaves the last nought of its amount out, ours writes cents in full."""
    made = epc_payload(
        "François D'Alsace S.A.", "FR1420041010050500013M02606", 1230, "", text="Client:Marie Louise La Lune"
    )
    published = (
        "BCD\n002\n2\nSCT\n\nFrançois D'Alsace S.A.\nFR1420041010050500013M02606\nEUR12.3\n\n\n"
        "Client:Marie Louise La Lune"
    )
    assert len(published.encode("latin-1")) == 103  # as it says
    assert made == published.replace("\n2\n", "\n1\n").replace("EUR12.3\n", "EUR12.30\n")


def test_the_guidelines_example_with_a_structured_reference_in_version_2() -> None:
    """Its example is of version 1 and states a purpose (GDDS), which we leave empty: the other lines stand where ours do."""
    published = "BCD\n001\n1\nSCT\nBHBLDEHHXXX\nFranz Mustermänn\nDE71110220330123456789\nEUR12.3\nGDDS\nRF18539007547034"
    assert len(published.encode()) == 96  # as it says
    made = epc_payload("Franz Mustermänn", "DE71110220330123456789", 1230, "RF18539007547034", "BHBLDEHHXXX")
    expected = published.replace("001", "002", 1).replace("GDDS", "").replace("EUR12.3", "EUR12.30")
    assert made == expected


SAMPLES = [
    epc_payload("Tidewater Camera Works", "BE49999000000171", 12050, creditor_reference("4TM7QCV")),
    epc_payload("François D'Alsace S.A.", "FR1420041010050500013M02606", 1230, "", text="Für Küche & Brücke"),
    epc_payload(
        "Ż" * 70, "BE49999000000171", 99_999_999_999, "", "SLTMBEBB", "x" * 120
    ),  # the largest symbol
]


def read_back(image: Image.Image) -> bytes:
    # Asked for every kind, it sometimes sees a bar code of another kind among the modules.
    (found,) = zxingcpp.read_barcodes(image.convert("L"), formats=zxingcpp.BarcodeFormat.QRCode)
    assert (found.format, found.ec_level) == (zxingcpp.BarcodeFormat.QRCode, "M")
    return bytes(found.bytes)


@pytest.mark.parametrize("payload", SAMPLES)
def test_the_picture_of_a_letter_says_the_payload_to_the_last_byte(payload: str) -> None:
    assert read_back(Image.open(io.BytesIO(epc_png(payload)))) == payload.encode()


@pytest.mark.parametrize("payload", SAMPLES)
def test_the_drawing_of_a_page_says_the_same_on_a_dark_page_too(payload: str) -> None:
    svg = epc_svg(payload, "Code").replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
    drawn = bytes(resvg_py.svg_to_bytes(svg_string=svg, width=700, background="#101010"))
    assert read_back(Image.open(io.BytesIO(drawn))) == payload.encode()


@pytest.mark.parametrize("payload", SAMPLES)
def test_around_the_code_lie_four_light_modules(payload: str) -> None:
    image = Image.open(io.BytesIO(epc_png(payload))).convert("L")
    assert image.point(lambda light: 255 - light).getbbox() == (32, 32, image.width - 32, image.height - 32)


@given(
    st.text(st.characters(codec="utf-8", categories=["L", "N", "P"]), min_size=1, max_size=40),
    st.integers(min_value=1, max_value=99_999_999_999),
    st.builds(refs.draw),
)
def test_whatever_it_says_is_read_back(name: str, cents: int, ref: str) -> None:
    payload = epc_payload(name, "BE49999000000171", cents, creditor_reference(ref))
    assert read_back(Image.open(io.BytesIO(epc_png(payload)))) == payload.encode()


def test_segnos_own_helper_makes_the_same_symbol() -> None:
    """Amounts of it and ours differ by a last nought only; this one has none."""
    reference = creditor_reference("4TM7QCV")
    payload = epc_payload("Tidewater Camera Works", "BE49999000000171", 12055, reference)
    theirs = segno.helpers.make_epc_qr(
        "Tidewater Camera Works", "BE49999000000171", "120.55", reference=reference, encoding=1
    )
    picture = io.BytesIO()
    theirs.save(picture, kind="png", scale=8, border=4, dark="#000", light="#fff")
    assert picture.getvalue() == epc_png(payload)


def test_the_guidelines_example_makes_the_symbol_that_it_states() -> None:
    """Version 6, 41 modules a side: EPC069-12, 2.3. Ours is two bytes longer and still fits."""
    made = epc_payload(
        "François D'Alsace S.A.", "FR1420041010050500013M02606", 1230, "", text="Client:Marie Louise La Lune"
    )
    assert Image.open(io.BytesIO(epc_png(made))).width == (41 + 2 * 4) * 8
