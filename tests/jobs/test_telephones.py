"""Numbers as people type them. Those here are from a range that is kept for drama, or from the examples of phonenumbers itself."""

import phonenumbers
import pytest
from phonenumbers import PhoneNumberType

from jobs.telephones import NoNumber, NoTexts, country_of, for_texts, shown


@pytest.mark.parametrize("typed", ["01632 960142", "(01632) 960-142", "+44 1632 960142", "0044 1632 960142"])
def test_a_number_is_read_however_it_is_written(typed):
    assert for_texts(typed, "GB") == "+441632960142"


def test_without_a_country_only_a_whole_number_is_read():
    assert for_texts("+44 1632 960142") == "+441632960142"
    with pytest.raises(NoNumber):
        for_texts("01632 960142")


@pytest.mark.parametrize(
    "typed",
    ["", "ring me", "12", "01632 960142 ext. 3", "+44 1632 960142\r\nX-More: 1", "9" * 40, "+999 123456"],
)
def test_what_is_no_number_is_refused(typed):
    with pytest.raises(NoNumber):
        for_texts(typed, "GB")


@pytest.mark.parametrize("country", ["GB", "DE", "FR", "SE", "JP"])
def test_the_example_of_a_mobile_number_passes_and_that_of_a_landline_does_not(country):
    def example(kind):
        found = phonenumbers.example_number_for_type(country, kind)
        return phonenumbers.format_number(found, phonenumbers.PhoneNumberFormat.NATIONAL)

    assert country_of(for_texts(example(PhoneNumberType.MOBILE), country)) == country
    with pytest.raises(NoTexts):
        for_texts(example(PhoneNumberType.FIXED_LINE), country)


def test_a_number_says_its_country_even_where_nobody_has_it():
    assert country_of("+441632960142") == "GB"
    assert country_of("nothing") == ""


def test_a_number_is_shown_with_spaces():
    assert shown("+441632960142") == "+44 1632 960142"
    assert shown("devices") == "devices"
