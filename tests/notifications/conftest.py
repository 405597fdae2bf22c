import pytest

from notifications.models import Letter
from tests.cast import Cast, make_cast
from tests.notifications.scenes import every_letter


@pytest.fixture
def cast(db: None) -> Cast:
    return make_cast()


_written: dict[str, Letter] = {}


@pytest.fixture
def written(request) -> dict[str, Letter]:
    """The same letters to read only: written once for the whole run, their rows are gone."""
    if not _written:
        _written.update(request.getfixturevalue("every"))
    return _written


@pytest.fixture
def every(cast):
    """One letter of each kind, written by the real road: kind -> letter."""
    return every_letter(cast)
