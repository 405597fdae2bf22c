"""What only a real browser can tell: whether our headers let our own forms through, and nothing else in."""

import socket

import pytest

from jobs.models import Staff

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def page(chromium, live_server):
    Staff.objects.create_user("nora", password="a-long-enough-secret", role="owner")
    visitor = chromium.new_context()
    yield visitor.new_page()
    visitor.close()


def test_our_own_forms_pass_the_forgery_check_under_our_referrer_policy(page, live_server):
    # With Referrer-Policy: no-referrer Chromium sends `Origin: null`, and this very form would be turned away.
    page.goto(f"{live_server.url}/staff/")
    page.fill("[name=username]", "nobody")
    page.fill("[name=password]", "wrong horse")
    with page.expect_response(lambda answer: answer.request.method == "POST") as sent:
        page.click("main button")
    assert sent.value.status != 403


def test_a_page_cannot_be_made_to_talk_to_another_site(page, live_server):
    with socket.create_server(("127.0.0.1", 0)) as elsewhere:
        elsewhere.setblocking(False)
        page.goto(f"{live_server.url}/staff/")
        address = f"http://127.0.0.1:{elsewhere.getsockname()[1]}/"
        call = f"() => fetch('{address}', {{mode: 'no-cors'}}).then(() => 'left', () => 'stopped')"
        assert page.evaluate(call) == "stopped"
        with pytest.raises(BlockingIOError):
            elsewhere.accept()
