import pytest

from tests.cast import Cast, make_cast
from tests.notifications.scenes import every_letter


@pytest.fixture
def cast(db: None) -> Cast:
    return make_cast()


@pytest.fixture
def every(cast):
    """One letter of each kind, written by the real road: kind -> letter."""
    return every_letter(cast)
