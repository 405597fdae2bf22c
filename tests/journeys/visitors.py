"""People in front of a browser: each has a window of their own, and whatever goes wrong in it is noted."""

import os
from typing import Any

from playwright.sync_api import Browser, ConsoleMessage, Page, Request, Response

from tests.journeys.world import SHOTS

SIZES = {"phone": {"width": 390, "height": 844}, "desk": {"width": 1280, "height": 800}}
# What a page would keep to itself, said aloud: a breach of the policy, and a swap that found no place.
TELL = """
document.addEventListener("securitypolicyviolation", e => console.error("policy: " + e.violatedDirective + " " + e.blockedURI));
document.addEventListener("htmx:oobErrorNoTarget", e => console.error("htmx: no place for " + e.detail.content?.outerHTML));
document.addEventListener("htmx:swapError", e => console.error("htmx: swap failed"));
"""


class Visitors:
    """Opens windows on one workshop and keeps count of what went wrong in them (`wrongs`)."""

    def __init__(self, browser: Browser, url: str) -> None:
        self.browser, self.url = browser, url
        self.wrongs: list[str] = []
        self.contexts: list[Any] = []

    def come(self, size: str = "desk", **more: Any) -> Page:
        """A new person with an empty browser. `more`: java_script_enabled, color_scheme, storage_state ..."""
        window: dict[str, Any] = {"viewport": SIZES.get(size, SIZES["desk"]), "base_url": self.url}
        if size == "phone":
            window |= {"has_touch": True, "is_mobile": True}
        context = self.browser.new_context(**window | more)
        context.set_default_timeout(12_000)
        context.add_init_script(TELL)
        self.contexts.append(context)
        page = context.new_page()
        self.watch(page)
        return page

    def watch(self, page: Page) -> None:
        page.on("console", self._console)
        page.on("pageerror", lambda error: self.wrongs.append(f"script: {error}"))
        page.on("requestfailed", self._failed)
        page.on("response", self._answered)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning") and "Failed to load resource" not in message.text:
            self.wrongs.append(f"console: {message.text} (on {message.page.url if message.page else ''})")

    def _failed(self, request: Request) -> None:
        # A page that is left takes its unfinished requests with it.
        if "ERR_ABORTED" not in (request.failure or ""):
            self.wrongs.append(f"failed: {request.url} {request.failure}")

    def _answered(self, response: Response) -> None:
        if response.status >= 400:
            self.wrongs.append(f"{response.status}: {response.request.method} {response.url}")

    def leave(self, show: str = "") -> None:
        for n, context in enumerate(self.contexts):
            for page in context.pages if show else []:
                page.screenshot(path=SHOTS / f"failed-{show}-{n}.png", full_page=True)
            context.close()


def shoot(page: Page, name: str) -> None:
    """With SHOTS=1 the whole page, in light and in dark, to var/shots/: a third of a journey's time, for whoever wants to look."""
    page.wait_for_load_state()
    if os.environ.get("SHOTS") != "1":
        return
    # Hiding the caret would leave style="" on every field, which htmx then carries over, against our policy.
    page.screenshot(path=SHOTS / f"{name}.png", full_page=True, caret="initial")
    page.emulate_media(color_scheme="dark")
    page.screenshot(path=SHOTS / f"{name}-dark.png", full_page=True, caret="initial")
    page.emulate_media(color_scheme="light")


def pick(page: Any, question: str, answer: str) -> None:
    """Choose one of several under a legend, as a person does: by pressing the words."""
    group = page.get_by_role("group", name=question)
    group.get_by_role("radio", name=answer).first.check(force=True)


def press(page: Page, words: str) -> None:
    """Press the button or follow the link with these words, and wait for what comes."""
    button = page.get_by_role("button", name=words)
    link = page.get_by_role("link", name=words)
    button.or_(link).first.click()
    page.wait_for_load_state()
