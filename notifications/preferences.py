"""One click to leave out the letters that nobody has to act on (RFC 8058): a signed token that names the customer.

It does not run out: an old letter's link has to work. It opens nothing and shows nothing; it can only leave letters out.
"""

from django.core.signing import BadSignature, Signer

from jobs.models import Customer

SALT = "notifications.preferences"


def token_for(customer: Customer) -> str:
    return _signer().sign(str(customer.pk))


def customer_of(token: str) -> Customer | None:
    """The customer of a token, or None for one that we did not sign."""
    try:
        number = _signer().unsign(token)
    except BadSignature:
        return None
    return Customer.objects.filter(pk=number).first()


def _signer() -> Signer:
    # A dot, because the colon of Django's default would have to be escaped in some mail programs.
    return Signer(salt=SALT, sep=".")
