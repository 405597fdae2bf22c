"""Who did something."""

from dataclasses import dataclass
from typing import Literal

from jobs.models.customer import Customer
from jobs.models.staff import Staff


@dataclass(frozen=True)
class Actor:
    """`id` is the customer's or the member of staff's primary key; None for the house itself."""

    kind: Literal["customer", "staff", "house"]
    name: str
    id: int | None = None

    @classmethod
    def customer(cls, customer: Customer) -> "Actor":
        return cls("customer", customer.name, customer.pk)

    @classmethod
    def staff(cls, member: Staff) -> "Actor":
        return cls("staff", member.called, member.pk)


HOUSE = Actor("house", "")
