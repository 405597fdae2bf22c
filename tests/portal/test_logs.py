import json
import logging
import secrets

import pytest

from portal import logs

KEY = secrets.token_urlsafe(32)


def line(message, *args, error=None):
    record = logging.LogRecord(
        "portal", logging.INFO, __file__, 1, message, args, error and (type(error), error, None)
    )
    logs.Scrub().filter(record)
    return logs.Lines().format(record)


@pytest.mark.parametrize(
    "where", ["/open/{}", "/open/{}/", "GET /open/{} HTTP/1.1", "http://localhost/open/{}?x=1"]
)
def test_a_private_key_never_reaches_a_log_line(where):
    assert KEY not in line("Not Found: %s", where.format(KEY))


def test_a_short_or_mistyped_key_is_hidden_too():
    assert "abc123" not in line("Not Found: /open/abc123/")


def test_a_key_is_hidden_at_any_address():
    assert KEY not in line(f"GET /letters/off/{KEY}/ 200")


def test_a_key_in_an_errors_text_is_hidden():
    assert KEY not in line("failed", error=ValueError(f"no such link: /open/{KEY}"))


def test_an_ordinary_address_stays_readable():
    assert json.loads(line("GET %s 200", "/my/7K2M-9QXA/quote/"))["says"] == "GET /my/7K2M-9QXA/quote/ 200"


def test_nobody_can_forge_a_second_line():
    assert "\n" not in line("Not Found: %s", '/x\n{"level": "error", "says": "forged"}')
