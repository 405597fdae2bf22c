"""Two workshops that really run, and people with browsers."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest

from tests.journeys import in_the_office as office
from tests.journeys.visitors import Visitors
from tests.journeys.world import World, demo_house, empty_house


@dataclass(frozen=True)
class Staffed:
    """A workshop opened by its owner through the first-run page, with a technician taken on."""

    world: World
    technician: str
    password: str


@pytest.fixture(scope="session")
def workshop(chromium: Any) -> Staffed:
    world = empty_house()
    visitors = Visitors(chromium, world.url)
    page = visitors.come()
    office.open_the_house(page, world)
    office.set_prices(page)
    office.let_letters_go_at_once(page)
    password = office.take_on(page, "Jory Pell", "jory")
    visitors.leave()
    assert visitors.wrongs == []
    return Staffed(world, "jory", password)


@pytest.fixture(scope="session")
def demo(chromium_path: str) -> World:
    return demo_house()


@pytest.fixture
def people(request: pytest.FixtureRequest, chromium: Any, workshop: Staffed) -> Iterator[Visitors]:
    yield from come_and_go(request, Visitors(chromium, workshop.world.url))


@pytest.fixture
def guests(request: pytest.FixtureRequest, chromium: Any, demo: World) -> Iterator[Visitors]:
    """Visitors of the demo workshop."""
    yield from come_and_go(request, Visitors(chromium, demo.url))


def come_and_go(request: pytest.FixtureRequest, visitors: Visitors) -> Iterator[Visitors]:
    """Where the test failed, what each of them had before their eyes is in var/shots/failed-*.png."""
    failed = request.session.testsfailed
    yield visitors
    visitors.leave(show=request.node.name if request.session.testsfailed > failed else "")
