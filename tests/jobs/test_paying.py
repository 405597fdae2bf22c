import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs import refs
from jobs.paying import (
    BadBic,
    BadIban,
    BadReference,
    NoCode,
    creditor_reference,
    epc_payload,
    epc_svg,
    is_iban,
    read_reference,
    show_iban,
    show_reference,
    tidy_bic,
    tidy_iban,
)

RF = "RF18539007547034"
IBAN = "BE49999000000171"

issued = st.builds(refs.draw)


# References


@given(issued)
def test_a_jobs_reference_comes_back_out_of_its_creditor_reference(ref: str) -> None:
    made = creditor_reference(ref)
    assert read_reference(made) == read_reference(show_reference(made)) == ref


@given(issued, st.integers(min_value=0, max_value=14))
def test_a_reference_that_a_bank_filled_up_with_noughts_is_still_the_jobs(ref: str, noughts: int) -> None:
    made = creditor_reference(ref)
    assert read_reference(made[:4] + "0" * noughts + made[4:]) == ref


@given(issued, st.data())
def test_one_wrong_symbol_is_always_found(ref: str, data: st.DataObject) -> None:
    made = creditor_reference(ref)
    place = data.draw(st.integers(min_value=2, max_value=len(made) - 1))
    other = data.draw(st.sampled_from(refs.DIGITS if place > 3 else "0123456789"))
    wrong = made[:place] + other + made[place + 1 :]
    if wrong != made:
        with pytest.raises(BadReference):
            read_reference(wrong)


def test_a_reference_is_made_of_what_people_type_and_shown_in_fours() -> None:
    assert creditor_reference("4tm7-qcv") == creditor_reference("4TM7QCV")
    assert show_reference(creditor_reference("4TM7QCV")).split()[1:] == ["4TM7", "QCV"]
    assert all(len(group) <= 4 for group in show_reference(creditor_reference("4TM7QCV")).split())


def test_small_letters_and_spaces_are_read() -> None:
    assert read_reference(" " + show_reference(creditor_reference("4TM7QCV")).lower() + " ") == "4TM7QCV"


@pytest.mark.parametrize("typed", ["", "RF", "4TM7QCV", RF, "RF17 5390 0754 7034", "RF18É", "RF٢٢4TM7QCV"])
def test_what_is_no_reference_of_a_job_is_refused(typed: str) -> None:
    with pytest.raises(BadReference):
        read_reference(typed)


@pytest.mark.parametrize("ref", ["", "4TM7QCW", "4TM7", refs.encode(32)])
def test_no_creditor_reference_is_made_of_what_no_bank_carries(ref: str) -> None:
    """32 has the check symbol `*`, which is never issued."""
    with pytest.raises(BadReference):
        creditor_reference(ref)


# Accounts


def test_an_account_is_tidied_and_shown_in_fours() -> None:
    assert tidy_iban(" be49 9990-0000 0171 ") == IBAN
    assert show_iban(IBAN) == "BE49 9990 0000 0171"
    assert tidy_iban(show_iban(IBAN)) == IBAN


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "GB",
        "BE50999000000171",  # a wrong digit
        "BE7200000000161",  # one too few
        "ZZ49999000000171",
        "٨٢ 1234",
        "BE٤٩999000000171",
        "not an account",
    ],
)
def test_what_is_no_account_is_refused(typed: str) -> None:
    assert not is_iban(typed)
    with pytest.raises(BadIban):
        tidy_iban(typed)


def test_a_banks_code_is_tidied() -> None:
    assert (tidy_bic(" sltm bebb xxx"), tidy_bic("SLTMBEBB")) == ("SLTMBEBBXXX", "SLTMBEBB")


@pytest.mark.parametrize("typed", ["", "SLTM", "SLTM1EBBXXX", "SLTMZZBB", "SLTMBEBBXXXX"])
def test_what_is_no_banks_code_is_refused(typed: str) -> None:
    with pytest.raises(BadBic):
        tidy_bic(typed)


def test_all_that_is_refused_is_a_value_error() -> None:
    assert all(issubclass(each, ValueError) for each in (BadBic, BadIban, BadReference, NoCode))


# Codes


def payload(**more: object) -> str:
    told: dict[str, object] = {
        "name": "Tidewater Camera Works",
        "iban": IBAN,
        "amount_minor": 12050,
        "reference": RF,
    }
    return epc_payload(**{**told, **more})  # type: ignore[arg-type]


def test_a_payload_ends_with_the_last_line_that_says_something() -> None:
    assert payload().split("\n") == [
        "BCD",
        "002",
        "1",
        "SCT",
        "",
        "Tidewater Camera Works",
        IBAN,
        "EUR120.50",
        "",
        RF,
    ]


def test_a_text_stands_one_line_below_where_a_reference_would_stand() -> None:
    lines = payload(reference="", text="Quote 3", bic="sltmbebb").split("\n")
    assert (lines[4], lines[9:]) == ("SLTMBEBB", ["", "Quote 3"])


def test_a_reference_and_an_account_may_come_as_they_are_shown() -> None:
    assert payload(iban=show_iban(IBAN), reference=show_reference(RF)) == payload()


@pytest.mark.parametrize(
    ("minor", "written"),
    [(1, "EUR0.01"), (100, "EUR1.00"), (1230, "EUR12.30"), (99999999999, "EUR999999999.99")],
)
def test_cents_are_written_as_euros(minor: int, written: str) -> None:
    assert payload(amount_minor=minor).split("\n")[7] == written


@pytest.mark.parametrize(
    ("told", "why"),
    [
        ({"amount_minor": 0}, "0.01"),
        ({"amount_minor": -5}, "0.01"),
        ({"amount_minor": 100_000_000_000}, "999999999.99"),
        ({"name": " "}, "name is missing"),
        ({"name": "n" * 71}, "more than 70"),
        ({"name": "Tide\x00water"}, "nobody sees"),
        ({"name": "Tide\u202ewater"}, "nobody sees"),
        ({"reference": ""}, "either a reference or a text"),
        ({"reference": RF, "text": "Quote 3"}, "either a reference or a text"),
        ({"reference": "", "text": "t" * 141}, "more than 140"),
        ({"name": "я" * 70, "reference": "", "text": "я" * 140}, "331 bytes"),
        ({"iban": "GB82 WEST 1234 5698 7654 32"}, "BIC"),
    ],
)
def test_where_no_code_can_be_made_it_says_why(told: dict[str, object], why: str) -> None:
    with pytest.raises(NoCode, match=why):
        payload(**told)


@pytest.mark.parametrize(
    ("told", "error"),
    [({"iban": "BE00"}, BadIban), ({"bic": "BANK"}, BadBic), ({"reference": "RF00 1234"}, BadReference)],
)
def test_a_wrong_account_bank_or_reference_is_told_apart(
    told: dict[str, object], error: type[ValueError]
) -> None:
    with pytest.raises(error):
        payload(**told)


def test_an_account_outside_the_economic_area_goes_with_its_bank() -> None:
    assert payload(iban="GB82WEST12345698765432", bic="WESTGB22").split("\n")[4] == "WESTGB22"


def test_a_line_feed_in_a_name_or_a_text_adds_no_line_to_the_payload() -> None:
    made = payload(name="Tidewater\nCamera\r\nWorks", reference="", text="EUR\n999")
    assert made.split("\n")[5] == "Tidewater Camera Works"
    assert made.split("\n")[10:] == ["EUR 999"]


def test_the_drawing_has_no_styles_and_says_what_it_is_without_markup_from_people() -> None:
    svg = epc_svg(payload(), 'Pay <b>"Tidewater"</b>')
    assert "style" not in svg
    assert "<b>" not in svg
    assert "&lt;b&gt;" in svg
    assert '<rect width="' in svg
    assert 'fill="#fff"' in svg
    assert 'fill="#000"' in svg
