"""What a customer tells us about themselves, and which letters they want."""

from jobs.models import Customer


def change_contact(customer: Customer, *, telephone: str, address: str) -> None:
    """Change telephone and postal address. The e-mail address is where private links go, so only the workshop changes it."""
    Customer.objects.filter(pk=customer.pk).update(telephone=telephone, address=address)
    customer.telephone, customer.address = telephone, address


def want_progress(customer: Customer, wants: bool) -> None:
    """Leave out, or take up again, the letters that nobody has to act on."""
    Customer.objects.filter(pk=customer.pk).update(wants_progress=wants)
    customer.wants_progress = wants
