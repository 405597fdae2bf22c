"""What the owner does. Each function is one thing that they do."""

from playwright.sync_api import Locator, Page, expect

from tests.journeys.inspecting import inspect
from tests.journeys.visitors import pick, press
from tests.journeys.world import World

OWNER, PASSWORD = "hester", "salt-rope-and-varnish"


def open_the_house(page: Page, world: World) -> None:
    """The first day: the one-time key from the terminal, the workshop, the owner."""
    page.goto("/first-run/")
    assert inspect(page) == []
    page.get_by_label("One-time key").fill(world.one_time_key())
    describe_the_workshop(page)
    page.get_by_label("Your name").fill("Hester Quill")
    page.get_by_label("Name to log in with").fill(OWNER)
    page.get_by_label("Password", exact=True).fill(PASSWORD)
    page.get_by_label("Password once more").fill(PASSWORD)
    press(page, "Open the workshop")
    expect(page.locator(".told")).to_contain_text("The workshop is open")


def describe_the_workshop(page: Page) -> None:
    page.get_by_label("Name of the workshop").fill("Tidewater Camera Works")
    page.get_by_label("Place", exact=True).fill("Saltmere")
    page.get_by_label("Postal address").fill("4 Slipway Lane\nSaltmere")
    page.get_by_label("Telephone").fill("01632 960100")
    page.get_by_label("E-mail").first.fill("bench@tidewater.example")
    page.get_by_label("Opening hours").fill("Tuesday to Saturday, 10 to 5")
    pick(page, "Tax", "include")
    page.get_by_label("Name of the tax").fill("VAT")
    page.get_by_label("Rate of the tax").fill("20")


def set_prices(page: Page) -> None:
    page.goto("/office/settings/")
    page.get_by_label("Price of an examination").fill("25")
    page.get_by_label("Price of insured post home").fill("12")
    page.get_by_label("Letters are signed by").fill("Hester Quill")
    page.get_by_role("button", name="Keep").first.click()
    expect(page.locator(".told")).to_be_visible()


def let_letters_go_at_once(page: Page) -> None:
    """No wait for company, no quiet hours, no days off: the journey has no time for them."""
    page.goto("/office/settings/hours/")
    assert inspect(page) == []
    page.get_by_label("Minutes that news waits for company").fill("0")
    for when in ("Quiet from", "Quiet until"):
        page.get_by_label(when).fill("00:00")
    for day in ("Saturday", "Sunday"):
        page.get_by_label(day).check()
    page.get_by_label("Public holidays").select_option("")
    press(page, "Keep")
    expect(page.locator(".told")).to_be_visible()


def take_on(page: Page, name: str, username: str) -> str:
    """Somebody new; answers the password to hand over."""
    page.goto("/office/staff/")
    page.get_by_label("Name", exact=True).fill(name)
    page.get_by_label("Name to log in with").fill(username)
    press(page, "Take on")
    return page.locator("code").inner_text()


def row_of(page: Page, name: str) -> Locator:
    page.goto("/office/")
    return page.get_by_role("row").filter(has_text=name)


def nudge(page: Page, name: str) -> None:
    row_of(page, name).get_by_role("button", name="Nudge now").click()
    expect(page.locator(".told")).to_be_visible()


def has_trouble(page: Page) -> bool:
    page.goto("/office/letters/?show=trouble")
    return page.locator(".lost").count() > 0


def send_failed_letter_again(page: Page, about: str) -> None:
    page.get_by_role("link", name=about).first.click()
    expect(page.locator("main")).to_contain_text("nobody of that name here")
    press(page, "Send it now")
