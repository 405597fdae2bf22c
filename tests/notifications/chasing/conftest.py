"""Every test of chasing begins on a Monday, and walks through the days by the clock."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from notifications.chasing import keeping, nudge_all_due
from tests.cast import Cast, make_cast

MONDAY = datetime(2026, 7, 6, 9, 0, tzinfo=UTC)


@pytest.fixture(autouse=True)
def monday(time_machine: Any) -> None:
    time_machine.move_to(MONDAY)


@pytest.fixture
def cast(db: None) -> Cast:
    """The workshop works from Monday to Friday."""
    return make_cast(work_days=[0, 1, 2, 3, 4])


@pytest.fixture
def go_to(time_machine: Any) -> Callable[[float], None]:
    """Go to so many days after that Monday."""
    return lambda days: time_machine.move_to(MONDAY + timedelta(days=days))


@pytest.fixture
def after(go_to: Callable[[float], None]) -> Callable[[float], int]:
    """How many nudges the sweep sends so many days after that Monday."""

    def sweep(days: float) -> int:
        go_to(days)
        keeping.refresh_all()
        return nudge_all_due(datetime.now(UTC))

    return sweep
