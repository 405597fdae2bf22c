"""The HTML of every page, and the stylesheets, by the Nu Html Checker, which the WHATWG and the W3C point to.

Source: https://validator.github.io/validator/ (npm package vnu-jar; `make test` fetches it into var/tools where npm is found).
"""

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.journeys import addresses
from tests.journeys.addresses import Rows
from tests.journeys.reader import Reader
from tests.journeys.world import World, demo_house
from tests.services import ROOT

# With the browsers: it needs the whole house and a demo inside, and is left out where those are.
pytestmark = [pytest.mark.browser, pytest.mark.worker, pytest.mark.slow]

# Attributes of htmx are our own business, as its documentation says; and properties of CSS that the checker does not know yet.
OURS = re.compile("Attribute “hx-|Property “(paint-order|vector-effect|field-sizing)” doesn't exist")
JAR = ROOT / "var/tools/node_modules/vnu-jar/build/dist/vnu.jar"


@pytest.fixture(scope="module")
def checker() -> list[str]:
    """The command that checks files and answers in JSON."""
    if not shutil.which("java"):
        pytest.skip("the Nu Html Checker needs Java (Debian: apt-get install default-jre-headless)")
    if not JAR.exists():
        pytest.skip(
            "the Nu Html Checker is not here: `make test` fetches it with npm (Debian: apt-get install npm)"
        )
    return ["java", "-jar", str(JAR), "--format", "json", "--stdout"]


def faults(checker: list[str], *more: str) -> list[str]:
    """Errors and warnings, each with its page and what it is about."""
    done = subprocess.run([*checker, *more], capture_output=True, text=True, timeout=150)
    told = json.loads(done.stdout)["messages"]
    return sorted(
        {
            f"{Path(each['url']).name}: {each['message']} [{each.get('extract', '')}]"
            for each in told
            if is_fault(each)
        }
    )


def is_fault(message: dict[str, str]) -> bool:
    told = message["type"] == "error" or message.get("subType") == "warning"
    return told and not OURS.search(message["message"])


def as_seen_by_all(world: World) -> dict[str, str]:
    """HTML of every page by its name, and of a few that come back with something to mend."""
    rows, nobody, customer = Rows(world.database), Reader(world), Reader(world)
    for link in world.links():
        customer.read(link)
    readers = [
        (nobody, addresses.anybody(rows)),
        (customer, addresses.customer(rows)),
        (Reader(world).log_in("jory"), addresses.technician(rows)),
        (Reader(world).log_in("hester"), addresses.owner(rows)),
    ]
    pages = {
        f"{name} ({n})": reader.read(path)
        for n, (reader, all_) in enumerate(readers)
        for name, path in all_.items()
    }
    quote = addresses.customer(rows)["my_quote"]
    return pages | {
        "private": nobody.read(quote),
        "nowhere": nobody.read("/nowhere/"),
        "book, wrong": nobody.send("/book/"),
        "my_quote, wrong": customer.send(quote),
    }


def test_every_page_is_good_html(checker: list[str], tmp_path: Path) -> None:
    pages = as_seen_by_all(demo_house())
    assert len(pages) > 50
    for name, html in pages.items():
        assert "<title>" in html, name
        (tmp_path / f"{name}.html").write_text(html)
    assert "\n".join(faults(checker, str(tmp_path))) == ""


def test_our_stylesheets_are_good_css(checker: list[str]) -> None:
    sheets = [str(sheet) for sheet in (ROOT / "portal/static/portal").glob("*.css")]
    assert "\n".join(faults(checker, "--css", *sheets)) == ""


def test_a_fault_is_found(checker: list[str], tmp_path: Path) -> None:
    (tmp_path / "page.html").write_text(
        "<!DOCTYPE html><html lang=en><title>x</title><p id=a><p id=a><ul><p></ul>"
    )
    assert len(faults(checker, str(tmp_path))) >= 2
