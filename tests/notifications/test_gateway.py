"""Filling a gateway's templates, and reading what it answers."""

import json
from dataclasses import replace
from urllib.parse import parse_qs

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notifications.channels.base import Undelivered
from notifications.gateway import BadTemplate, Gateway, filled, header_of, read, words_of
from notifications.outward import Answer

JSON = Gateway(
    "https://gateway.example.org/send",
    "json",
    '{"to": "{to}", "plain": "{digits}", "text": "{text}", "from": "{sender}"}',
    "Authorization: Bearer {secret}",
    "s3cret",
    "Tidewater",
)
FORM = replace(JSON, kind="form", body="to={to}&text={text}&from={sender}")
NUMBER = "+441632960142"


@given(st.text(max_size=200))
def test_whatever_a_text_says_json_carries_it_unchanged_in_its_own_field(text):
    told = json.loads(filled(JSON, NUMBER, text))
    assert told == {"to": NUMBER, "plain": "441632960142", "text": text, "from": "Tidewater"}


@given(st.text(alphabet=st.characters(codec="utf-8"), min_size=1, max_size=200))
def test_whatever_a_text_says_a_form_carries_it_unchanged_in_its_own_field(text):
    told = parse_qs(filled(FORM, NUMBER, text), keep_blank_values=True)
    assert told == {"to": [NUMBER], "text": [text], "from": ["Tidewater"]}


def test_a_place_in_a_text_is_not_filled():
    assert json.loads(filled(JSON, NUMBER, "My {secret} is {to}"))["text"] == "My {secret} is {to}"


@pytest.mark.parametrize("body", ['{"to": {to}}', "to={to}", '"{text}"', "", "[", '{"a": "{text}"} more'])
def test_a_body_that_is_no_json_is_refused(body):
    with pytest.raises(BadTemplate):
        filled(replace(JSON, body=body), NUMBER, "x")


@pytest.mark.parametrize("body", ["", "{text}", "&&"])
def test_a_body_that_is_no_form_is_refused(body):
    with pytest.raises(BadTemplate):
        filled(replace(FORM, body=body), NUMBER, "x")


def test_the_header_holds_the_secret_or_a_user_and_password():
    assert header_of(JSON) == {"Authorization": "Bearer s3cret"}
    basic = replace(JSON, header="Authorization: Basic {basic}", secret="user:word")
    assert header_of(basic) == {"Authorization": "Basic dXNlcjp3b3Jk"}
    assert header_of(replace(JSON, header="")) == {}


@pytest.mark.parametrize(
    ("header", "secret"),
    [
        ("Authorization: {secret}", "a\r\nX-More: 1"),
        ("Authorization: {secret}", "ключ"),
        ("X-More: 1\r\nHost: elsewhere", "s"),
        ("X More: {secret}", "s"),
        ("{secret}: 1", "s"),
        ("No colon", "s"),
        ("Empty:", "s"),
        ("Host: elsewhere.example.org", "s"),
        ("content-length: 5", "s"),
        ("Idempotency-Key: x", "s"),
    ],
)
def test_nobody_can_add_a_header_of_their_own(header, secret):
    with pytest.raises(BadTemplate):
        header_of(replace(JSON, header=header, secret=secret))


def answer(status, text="", **headers):
    return Answer(status, headers, text)


@pytest.mark.parametrize(
    ("text", "headers", "provider_id"),
    [
        ('{"id": "m-1"}', {}, "m-1"),
        ('{"id": 17}', {}, "17"),
        ('{"message_id": "m-2", "other": []}', {}, "m-2"),
        ('{"id": {"deep": 1}}', {}, ""),
        ('{"id": true}', {}, ""),
        ('{"id": "a\\r\\nb"}', {}, "ab"),
        ('{"id": "' + "x" * 500 + '"}', {}, "x" * 200),
        (
            "",
            {"location": "https://gateway.example.org/messages/9"},
            "https://gateway.example.org/messages/9",
        ),
        ("OK", {}, ""),
        ("<html>", {}, ""),
        ("[" * 100_000, {}, ""),
        ('["id"]', {}, ""),
    ],
)
def test_the_gateways_name_for_the_message_is_read_where_it_says_one(text, headers, provider_id):
    assert read(answer(202, text, **headers)).provider_id == provider_id


@pytest.mark.parametrize(
    ("status", "kind", "shut"),
    [
        (429, "throttled", False),
        *[(status, "permanent", False) for status in (400, 410, 413, 422, 499)],
        *[(status, "temporary", False) for status in (408, 409, 425, 500, 502, 503, 599)],
        *[(status, "temporary", True) for status in (302, 401, 402, 403, 404, 405, 415)],
        (100, "temporary", True),
    ],
)
def test_each_status_means_something(status, kind, shut):
    with pytest.raises(Undelivered) as found:
        read(answer(status, "why"))
    assert (found.value.kind, found.value.way_is_shut) == (kind, shut)
    assert found.value.reason == f"{status} why"


def test_a_gateway_that_asks_for_a_pause_says_how_long():
    with pytest.raises(Undelivered) as found:
        read(Answer(429, {"retry-after": "90"}, ""))
    assert found.value.wait == 90.0


def test_what_it_says_is_told_in_one_line_without_our_secret():
    told = words_of(answer(403, "bad key\r\n s3cret \x1b[31m" + "x" * 1000), "s3cret")
    assert told.startswith("403 bad key … [31mxxx")
    assert len(told) == 300
