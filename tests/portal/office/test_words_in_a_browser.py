"""The owner's own words in a real browser: what is typed shows in the letter beside it, before it is kept, with scripts and without."""

from typing import Any

import pytest
from django.test import Client

from notifications import relay
from notifications.models import OwnWords
from tests.cast import make_cast

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.mark.parametrize("scripts", [True, False])
def test_what_is_typed_shows_in_the_letter_and_is_not_kept_yet(
    chromium: Any, live_server: Any, scripts: bool
) -> None:
    cast = make_cast()
    cast.job_at("ready")
    relay.run()
    owner = Client()
    owner.force_login(cast.owner_user)
    context = chromium.new_context(java_script_enabled=scripts, base_url=live_server.url)
    key = {"name": "sessionid", "value": owner.cookies["sessionid"].value, "url": live_server.url}
    context.add_cookies([key])
    page, refused = context.new_page(), []
    page.on("console", lambda said: refused.append(said.text) if "Content Security" in said.text else None)
    page.goto("/office/settings/words/ready/en-gb/")
    page.get_by_label("Your own paragraph").fill("The gate is green & heavy.")
    page.get_by_role("button", name="Show it in the letter").click()
    page.frame_locator("iframe").get_by_text("The gate is green & heavy.").wait_for()
    assert not OwnWords.objects.exists()
    page.get_by_role("button", name="Keep").click()
    page.locator(".told").wait_for()
    assert OwnWords.objects.get().text == "The gate is green & heavy."
    context.close()
    assert refused == []
