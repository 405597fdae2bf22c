from collections.abc import Callable
from typing import Protocol

from notifications.models import Letter


class Undelivered(Exception):
    """The letter did not go, or we cannot know whether it did.

    permanent: trying again would not help. ambiguous: the other side had the whole letter and never said whether it took it,
    so trying again may deliver it twice.
    """

    def __init__(self, reason: str, *, permanent: bool = False, ambiguous: bool = False) -> None:
        super().__init__(reason)
        self.reason = reason
        self.permanent = permanent
        self.ambiguous = ambiguous


class Channel(Protocol):
    def send(self, letter: Letter, before_handing: Callable[[], None]) -> None:
        """Deliver `letter`; call `before_handing` just before its content leaves the house. Raises Undelivered."""
