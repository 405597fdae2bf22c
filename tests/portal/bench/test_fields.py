"""What the staff's forms say when something is missing or is no number: our own words, in every form."""

import importlib
import inspect
import pkgutil
from collections.abc import Iterator

import pytest
from django import forms

import portal.bench
import portal.office

TYPED = (forms.CharField, forms.DateField, forms.IntegerField)


def every_form() -> Iterator[type[forms.BaseForm]]:
    for package in (portal.bench, portal.office):
        for module in pkgutil.iter_modules(package.__path__, f"{package.__name__}."):
            there = importlib.import_module(module.name)
            for _name, kind in inspect.getmembers(there, inspect.isclass):
                if issubclass(kind, forms.BaseForm) and kind.__module__ == module.name:
                    yield kind


@pytest.mark.parametrize("form", list(every_form()), ids=lambda form: form.__name__)
def test_no_form_speaks_with_another_voice_than_ours(form: type[forms.BaseForm]) -> None:
    ours = getattr(form, "missing", None) is not None  # these get their sentence when they are made
    for name, field in form.base_fields.items():
        if not isinstance(field, TYPED) or field.widget.is_hidden:
            continue
        words = dict(field.error_messages)
        if field.required and not ours:
            assert words["required"] != "This field is required.", name
        if isinstance(field, forms.IntegerField):
            assert {"min_value", "max_value"} <= words.keys(), name
            assert words["invalid"] != "Enter a whole number.", name
