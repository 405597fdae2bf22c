"""Notices in a real Chromium, as far as one without a network can go: the page's button and sentences, the worker, and what it shows.

The push service itself is out of reach here: subscribing ends in the page's own sentence. What a service would bring is handed to the
worker over the browser's debugging protocol instead.
"""

import json

import pytest

from jobs.actions.linking import issue_link
from portal.state import draw_vapid_key
from tests.cast import make_cast
from tests.portal.customer.pages import to
from tests.services import wait_until

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SHOWN = """async () => {
  const worker = await navigator.serviceWorker.ready;
  const found = await worker.getNotifications();
  return found.map(each => [each.title, each.body, each.tag, each.data.path]);
}"""


@pytest.fixture
def job(transactional_db):
    return make_cast().book()


@pytest.fixture
def visit(chromium, live_server, settings, job):
    """`visit(allowed)`: the page of choices, in a browser that was or was not allowed to show notices; and its faults."""
    settings.VAPID_KEY = draw_vapid_key()
    contexts = []

    def come_in(*allowed: str, **more):
        context = chromium.new_context(base_url=live_server.url, **more)
        contexts.append(context)
        context.grant_permissions(list(allowed), origin=live_server.url)
        page = context.new_page()
        page.faults = []
        page.on("pageerror", lambda fault: page.faults.append(str(fault)))
        page.on("console", lambda said: page.faults.append(said.text) if "Security" in said.text else None)
        page.goto(f"/open/{issue_link(job)}")
        page.goto(to("my_settings", job))
        return page

    yield come_in
    for context in contexts:
        context.close()


def told(page) -> str:
    return page.locator("[data-told]").inner_text()


def test_the_button_is_there_where_the_browser_can(visit):
    page = visit("notifications")
    page.get_by_role("button", name="Send notices to this device").wait_for()
    assert told(page).startswith("A notice shows on this device")
    assert page.faults == []


def test_without_scripts_the_page_says_so_and_offers_nothing_that_does_not_work(visit):
    page = visit(java_script_enabled=False)
    assert "scripts are switched off" in told(page)
    assert page.get_by_role("button", name="Send notices to this device").count() == 0


def test_a_browser_that_cannot_reach_its_service_says_so_in_our_words(visit):
    page = visit("notifications")
    page.get_by_role("button", name="Send notices to this device").click()
    wait_until(lambda: "could not set up notices" in told(page), what="the page's own sentence")
    assert page.get_by_role("button", name="Send notices to this device").is_visible()
    assert page.faults == []


def test_a_browser_that_may_not_show_notices_says_where_to_change_that(visit):
    page = visit()
    wait_until(lambda: "set to show no notices" in told(page), what="the page's own sentence")
    assert page.get_by_role("button", name="Send notices to this device").count() == 0


@pytest.fixture
def pushed(visit, job):
    """`pushed(text)`: the page, after a push with this text reached the worker."""

    def push(text: str):
        page = visit("notifications")
        page.evaluate(
            "() => navigator.serviceWorker.register('/push-worker.js', {scope: '/my/'})"
            ".then(() => navigator.serviceWorker.ready).then(() => true)"
        )
        devtools = page.context.new_cdp_session(page)
        seen = []
        devtools.on(
            "ServiceWorker.workerRegistrationUpdated", lambda told: seen.extend(told["registrations"])
        )
        devtools.send("ServiceWorker.enable")
        wait_until(lambda: page.evaluate("1") and seen, what="the worker's registration")
        origin = page.evaluate("location.origin")

        def shown():
            # Chromium's debugger says nothing when a worker was not yet up and the push was dropped: as a push
            # service would, bring it again. The tag makes one notice of however many came.
            devtools.send(
                "ServiceWorker.deliverPushMessage",
                {"origin": origin, "registrationId": seen[-1]["registrationId"], "data": text},
            )
            for _ in range(20):
                if page.evaluate(SHOWN):
                    return True
                page.wait_for_timeout(100)
            return False

        wait_until(shown, seconds=60, what="the notice")
        return page

    return push


def test_a_push_becomes_a_notice_that_leads_to_the_page(pushed, job):
    path = to("my", job)
    page = pushed(json.dumps({"title": "Tidewater", "body": "There is news.", "path": path, "tag": "t"}))
    assert page.evaluate(SHOWN) == [["Tidewater", "There is news.", "t", path]]


@pytest.mark.parametrize(
    "text",
    [
        "not json",
        "",
        json.dumps({"title": "x", "path": "https://elsewhere.example.org/"}),
        json.dumps({"path": "//e.example/"}),
    ],
)
def test_a_push_that_is_none_of_ours_leads_nowhere_but_home(pushed, text):
    page = pushed(text)
    assert [path for _title, _body, _tag, path in page.evaluate(SHOWN)] == ["/"]


PRESS = """async () => {
  const [notice] = await self.registration.getNotifications();
  const opened = new Promise(done => { self.clients.openWindow = async address => done(address); });
  self.clients.matchAll = async () => [];
  self.dispatchEvent(new NotificationEvent("notificationclick", { notification: notice }));
  return [await opened, (await self.registration.getNotifications()).length];
}"""


def test_pressing_a_notice_opens_the_page_and_takes_the_notice_away(pushed, job, live_server):
    """Opening a window needs a person's press, which nobody can feign here: what the worker would open is asked of it instead."""
    page = pushed(json.dumps({"title": "Tidewater", "path": to("my", job)}))
    worker = page.context.service_workers[0]
    assert worker.evaluate(PRESS) == [f"{live_server.url}{to('my', job)}", 0]
