"""What stands open: what was agreed against everything that was paid. Integer minor units."""

from collections.abc import Iterable
from dataclasses import dataclass

from jobs.words import PaymentKind


@dataclass(frozen=True)
class Paid:
    """Money that changed hands: a `PaymentKind` and minor units above nothing. A refund went back to the customer."""

    kind: str
    minor: int

    def __post_init__(self) -> None:
        PaymentKind(self.kind)
        if self.minor <= 0:
            raise ValueError(self.minor)


@dataclass(frozen=True)
class Standing:
    """Minor units. `agreed == paid + due - overpaid`, and one of `due` and `overpaid` is 0.

    `paid` is what came in less what went back; `deposit_due` is the part of `due` that is asked for before the work.
    """

    agreed: int
    paid: int
    due: int
    deposit_due: int
    overpaid: int

    @property
    def settled(self) -> bool:
        """Nothing is due any more; something may have to go back."""
        return self.due == 0


def standing(agreed: int, paid: Iterable[Paid], deposit_asked: int = 0) -> Standing:
    """How `agreed` (with tax) and everything that was paid stand to each other, in any order.

    Any payment counts towards the deposit. Raises ValueError for a deposit below nothing. That no more goes back than came in is
    for who writes a refund down; here it would add to what is due.
    """
    if deposit_asked < 0:
        raise ValueError(deposit_asked)
    came = sum(-each.minor if each.kind == PaymentKind.REFUND else each.minor for each in paid)
    due = max(agreed - came, 0)
    return Standing(
        agreed=agreed,
        paid=came,
        due=due,
        deposit_due=min(due, max(deposit_asked - came, 0)),
        overpaid=max(came - agreed, 0),
    )
