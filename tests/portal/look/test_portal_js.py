"""Our script in a real Chromium, with the real htmx, under a strict policy: what it says, where it puts the focus, what it keeps."""

import threading
import time
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from PIL import Image

from tests.portal.look import board

pytestmark = pytest.mark.browser

POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'"
KINDS = {".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}
STATIC = Path(__file__).parents[3] / "portal/static"
WRONG = '<div class="wrongs" tabindex="-1" data-autofocus id="wrongs">One thing to mend.</div><input aria-invalid="true">'
LIVE = '<p id="said">new</p><details id="more"><summary>More</summary><div>text</div></details><textarea id="typed"></textarea>'


def photograph() -> bytes:
    kept = BytesIO()
    Image.new("RGB", (400, 300), "#555").save(kept, "JPEG")
    return kept.getvalue()


class Shop(BaseHTTPRequestHandler):
    """A few answers, good and bad; counts what was posted."""

    posts: list[str]
    page: str

    def do_GET(self) -> None:
        path = self.path.split("?")[0]
        if path == "/photo.jpg":
            self.answer(200, photograph(), "image/jpeg")
        elif path.startswith(settings.STATIC_URL):
            found = STATIC / path.removeprefix(settings.STATIC_URL)
            self.answer(200, found.read_bytes(), KINDS[found.suffix])
        elif path == "/hangs":
            time.sleep(1)
            self.answer(200, b"too late")
        else:
            status = {"/broken": 500, "/gone": 410}.get(path, 200)
            self.answer(status, {"/live": LIVE}.get(path, self.page).encode())

    def do_POST(self) -> None:
        self.posts.append(self.path)
        self.rfile.read(int(self.headers["Content-Length"] or 0))
        if self.path == "/wrong":
            self.answer(422, WRONG.encode())
        else:
            time.sleep(0.4)
            self.answer(200, b"<p>Sent</p>")

    def answer(self, status: int, body: bytes, kind: str = "text/html") -> None:
        self.send_response(status)
        self.send_header("Content-Type", f"{kind}; charset=utf-8")
        self.send_header("Content-Security-Policy", POLICY)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *args: object) -> None:
        """Say nothing."""


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    place = board.Place()
    fields = [(1, place["x1"], place["y1"]), (2, place["x2"], place["y2"])]
    Shop.posts = []
    Shop.page = board.page("script", {"picture": board.picture(), "mark_fields": fields})
    server = ThreadingHTTPServer(("127.0.0.1", 0), Shop)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


@pytest.fixture
def page(chromium: Any, address: str) -> Iterator[Any]:
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    complaints: list[str] = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on(
        "console",
        lambda message: complaints.append(message.text) if "Content Security" in message.text else None,
    )
    page.goto(address)
    Shop.posts.clear()
    yield page
    context.close()
    assert complaints == []


def flash(page: Any) -> str:
    page.wait_for_selector("#flash span")
    return page.inner_text("#flash span")


def refresh(page: Any, which: str = "live") -> None:
    with page.expect_response("**/*"):
        page.evaluate(f"htmx.trigger('#{which}', 'refresh')")
    page.wait_for_timeout(150)


def focused(page: Any) -> str:
    return page.evaluate("document.activeElement.id")


def test_a_broken_server_is_told_in_words(page: Any) -> None:
    page.click("#breaks")
    assert flash(page) == "Something went wrong on our side. What you typed is still here."


def test_no_connection_is_told_in_words(page: Any) -> None:
    page.context.set_offline(True)
    page.click("#breaks")
    assert flash(page) == "We could not reach the workshop. What you typed is still here."


def test_an_answer_that_takes_too_long_is_told_in_words(page: Any) -> None:
    page.click("#hangs")
    assert flash(page) == "That took too long, so we stopped. What you typed is still here."


def test_what_is_gone_asks_for_a_fresh_page(page: Any) -> None:
    page.click("#gone")
    assert flash(page) == "This is no longer here. Load the page again to see how things stand."
    assert page.inner_text("#flash button") == "Load again"


def test_trying_again_sends_again(page: Any) -> None:
    page.context.set_offline(True)
    page.click("#slow button")
    flash(page)
    page.context.set_offline(False)
    page.click("#flash button")
    page.wait_for_selector("#out p")
    assert Shop.posts == ["/slow"]
    assert page.inner_text("#flash") == ""


def test_a_live_region_fails_in_silence(page: Any) -> None:
    refresh(page, "quiet")
    assert page.inner_text("#flash") == ""


def test_after_a_failed_send_the_focus_is_on_the_summary(page: Any) -> None:
    page.click("#wrong button")
    page.wait_for_selector("#wrongs")
    page.wait_for_selector("#wrongs:focus")


@pytest.mark.parametrize("form", ["slow", "plain"])
def test_a_double_press_sends_once(page: Any, form: str) -> None:
    page.dblclick(f"#{form} button")
    page.wait_for_timeout(700)
    assert Shop.posts == [f"/{form}"]


def test_after_an_answer_the_same_form_can_be_sent_again(page: Any) -> None:
    for _ in range(2):
        page.click("#slow button")
        page.wait_for_selector("#slow[aria-busy=false] button[aria-disabled=false]")
    assert Shop.posts == ["/slow", "/slow"]


def test_while_sending_the_button_says_so_and_keeps_the_focus(page: Any) -> None:
    page.focus("#slow button")
    page.keyboard.press("Enter")
    assert page.get_attribute("#slow button", "aria-disabled") == "true"
    assert page.evaluate("document.activeElement.closest('form').id") == "slow"


def test_an_upload_shows_its_progress(page: Any) -> None:
    page.set_input_files(
        "#upload input", {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": photograph() * 50}
    )
    assert page.is_hidden("#upload progress")
    page.click("#upload button")
    page.wait_for_selector("#upload progress", state="visible")


def test_a_live_swap_keeps_an_opened_explanation_open(page: Any) -> None:
    page.click("#more summary")
    page.evaluate("document.activeElement.blur()")
    refresh(page)
    assert page.inner_text("#said") == "new"
    assert page.get_attribute("#more", "open") is not None


def test_a_live_swap_does_not_take_the_focus(page: Any) -> None:
    page.focus("#breaks")
    refresh(page)
    assert focused(page) == "breaks"


def test_a_live_swap_waits_while_something_is_typed(page: Any) -> None:
    page.fill("#typed", "Was it the sand?")
    page.evaluate("document.activeElement.blur()")
    refresh(page)
    assert page.input_value("#typed") == "Was it the sand?"
    assert page.inner_text("#said") == "old"


def test_a_tap_sets_the_next_mark_where_it_fell(page: Any) -> None:
    box = page.locator("[data-marks] img").bounding_box()
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    assert [int(page.input_value(f"#id_{axis}1")) for axis in "xy"] == pytest.approx([500, 500], abs=2)
    assert page.inner_text("[data-next]") == "2"
    assert page.locator("svg.marks text").count() == 1


def test_the_last_mark_can_be_taken_back(page: Any) -> None:
    page.click("[data-marks] img")
    page.click("[data-marks] summary")
    page.click("[data-unmark]")
    assert page.input_value("#id_x1") == ""
    assert page.locator("svg.marks text").count() == 0


def test_marks_can_be_set_with_the_keyboard_alone(page: Any) -> None:
    page.click("[data-marks] summary")
    page.fill("#id_x1", "463")
    page.fill("#id_y1", "451")
    assert page.locator("svg.marks circle.w").get_attribute("cx") == "555.6"


def test_news_from_the_server_is_read_out(page: Any) -> None:
    page.evaluate("htmx.trigger(document.body, 'say', {value: 'Saved.'})")
    assert page.text_content("#status") == "Saved."


def test_nothing_of_the_page_stays_on_the_phone(page: Any) -> None:
    page.click("#wrong button")
    page.wait_for_selector("#wrongs")
    assert page.evaluate("sessionStorage.length + localStorage.length") == 0
