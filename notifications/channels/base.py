from collections.abc import Callable

from notifications.models import Letter

Trouble = Letter.Trouble


class Undelivered(Exception):
    """The letter did not go, or we cannot know whether it did.

    kind: TEMPORARY (it may work later), THROTTLED (it asked us to go slower), PERMANENT (trying again would not help), AMBIGUOUS (the
    other side had the whole letter and never said whether it took it, so trying again may deliver it twice).
    wait: how many seconds it asked us to wait, where it said so. way_is_shut: it is about the way and not about this letter
    (no connection, a log-in that fails), so that no other letter need try for a little. no_such_address: a way without SMTP's codes
    knows that nobody is there, so that nothing more need go there.
    """

    def __init__(
        self,
        reason: str,
        kind: Trouble = Trouble.TEMPORARY,
        *,
        wait: float | None = None,
        way_is_shut: bool = False,
        no_such_address: bool = False,
    ) -> None:
        super().__init__(reason)
        self.reason = reason
        self.kind = kind
        self.wait = wait
        self.way_is_shut = way_is_shut
        self.no_such_address = no_such_address

    @property
    def permanent(self) -> bool:
        return self.kind == Trouble.PERMANENT

    @property
    def ambiguous(self) -> bool:
        return self.kind == Trouble.AMBIGUOUS


class Channel:
    """One way to reach a person. An object lives for one round of letters and may keep a connection open meanwhile."""

    def send(self, letter: Letter, before_handing: Callable[[], None]) -> None:
        """Deliver `letter`; call `before_handing` just before its content leaves the house. Raises Undelivered."""
        raise NotImplementedError

    def close(self) -> None:
        """The round is over: let go of whatever was kept open. Raises nothing."""
