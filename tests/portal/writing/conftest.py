"""Staff writing explanations: Jory and Hester, logged in, and a way to send the editor's fields."""

from collections.abc import Callable
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from portal.writing import sheet as sheets
from tests.cast import Cast
from tests.own_text import COUNTER, text
from tests.portal.conftest import Visitor

Send = Callable[..., HttpResponse]


@pytest.fixture
def jory(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.technician_user)


@pytest.fixture
def hester(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


def to(page: str, key: str = COUNTER, *more: object) -> str:
    return reverse(page, args=[*key.split("/"), *more])


def typed(words: str | None = None, key: str = COUNTER, base: int = 0, **changed: Any) -> dict[str, Any]:
    """The editor's fields as the page has them for a text, with some typed over."""
    sheet = sheets.stored(key, base, text() if words is None else words)
    fields = {
        name: values if len(values) > 1 else values[0] for name, values in sheet.form.data.lists() if values
    }
    return fields | {name.replace("__", "-"): value for name, value in changed.items()}


@pytest.fixture
def send() -> Send:
    """`send(browser, "draft", short="...")`: the editor's form with something typed over."""

    def press(
        browser: Client, do: str, words: str | None = None, key: str = COUNTER, **changed: Any
    ) -> HttpResponse:
        return browser.post(to("library_edit", key), typed(words, key, **changed) | {"do": do})

    return press


def page_of(answer: HttpResponse) -> str:
    return answer.content.decode()
