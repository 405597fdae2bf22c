"""What a person sees when something went wrong."""

import pytest
from django.test import Client

pytestmark = pytest.mark.django_db


@pytest.fixture
def strict():
    """A visitor whose forms are checked as in the real world."""
    return Client(enforce_csrf_checks=True, raise_request_exception=False)


def test_a_form_without_its_token_changes_nothing_and_says_what_to_do(strict):
    answer = strict.post("/find/", {}, headers={"referer": "http://testserver/book/"})
    assert answer.status_code == 403
    assert "Nothing was sent and nothing was changed" in answer.text
    assert 'href="http://testserver/book/"' in answer.text


def test_the_way_back_never_leads_to_another_site(strict):
    answer = strict.post("/find/", {}, headers={"referer": "https://elsewhere.example.net/"})
    assert "elsewhere" not in answer.text


def test_a_form_sent_from_another_site_is_turned_away(strict):
    answer = strict.post("/find/", {}, headers={"origin": "https://elsewhere.example.net"})
    assert answer.status_code == 403


def test_an_address_where_nothing_is_says_so_kindly(client):
    answer = client.get("/no-such-page/")
    assert answer.status_code == 404
    assert "There is nothing at this address" in answer.text


def test_an_error_of_ours_shows_no_inside(strict, monkeypatch):
    def broken(*_):
        raise RuntimeError("a secret inside")

    monkeypatch.setattr("portal.health.look", broken)
    answer = strict.get("/healthz")
    assert answer.status_code == 500
    assert "Something went wrong on our side" in answer.text
    assert "secret" not in answer.text
