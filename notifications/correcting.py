"""An e-mail address turns out to be wrong: what follows for all the ways to its customer."""

from django.db import transaction

from jobs.actions.contact import correct_email
from jobs.actor import Actor
from jobs.models import Customer
from notifications import devices, returned


def correct_address(customer: Customer, email: str, by: Actor) -> None:
    """Write to `email` from now on; whoever read letters at another address hears nothing more, by no way.

    Links to it die, text messages end, and devices are let go: they may have been asked for by a stranger who opened a letter. Somebody
    who knows says that `email` is right, so it is no longer dead.
    """
    with transaction.atomic():
        if customer.email != email:
            correct_email(customer, email, by)
            devices.let_all_go(customer)
        returned.revive(email)
