"""The office's forms speak the house's sentences; a field that has one of its own keeps it."""

from typing import Any

import pytest
from django import forms

from portal.office.forms import Plain


class Asked(Plain):
    missing = {"name": "What is it called?"}

    name = forms.CharField(max_length=4)
    email = forms.EmailField()
    day = forms.DateField()
    way = forms.ChoiceField(choices=[("post", "by post")])
    own = forms.ChoiceField(choices=[], error_messages={"invalid_choice": "One of ours."})


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("name", "", "What is it called?"),
        ("day", "", "This has to be filled in."),
        ("name", "Bosun", "Too long: it has 5 signs, and 4 is the most."),
        ("email", "nobody", "This does not look like an e-mail address. It needs an @ and a name behind it."),
        ("day", "31 February", "That is not a day. Type it as 2026-10-30."),
        ("way", "by hand", "Choose one of these."),
        ("own", "by hand", "One of ours."),
    ],
)
def test_what_is_wrong_is_said_in_our_words(field: str, typed: Any, said: str) -> None:
    assert Asked({field: typed}).errors[field] == [said]
