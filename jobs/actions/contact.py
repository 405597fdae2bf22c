"""What a customer tells us about themselves, and which letters they want."""

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _

from jobs import working_days
from jobs.actions.linking import ask_for_link, revoke_links
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Customer


def change_contact(customer: Customer, *, telephone: str, address: str) -> None:
    """Change telephone and postal address. The e-mail address is where private links go, so only the workshop changes it."""
    Customer.objects.filter(pk=customer.pk).update(telephone=telephone, address=address)
    customer.telephone, customer.address = telephone, address


def want_progress(customer: Customer, wants: bool) -> None:
    """Leave out, or take up again, the letters that nobody has to act on."""
    Customer.objects.filter(pk=customer.pk).update(wants_progress=wants)
    customer.wants_progress = wants


def want_texts(customer: Customer, number: str, wants: bool) -> None:
    """Send, or no longer send, text messages to `number` (E.164; see jobs.telephones). A number may be kept without being used.

    Raises Refused where texts are wanted and there is no number.
    """
    if wants and not number:
        raise Refused(_("Write the number that takes text messages."), "text_to")
    Customer.objects.filter(pk=customer.pk).update(text_to=number, wants_texts=wants)
    customer.text_to, customer.wants_texts = number, wants


def say_where(customer: Customer, *, time_zone: str, holidays_in: str) -> None:
    """Where they live: what can wait then waits for their morning and their working days. "" is where the workshop is.

    Raises Refused for a place without a clock or a calendar that we know.
    """
    if time_zone and time_zone not in working_days.zone_names():
        raise Refused(_("Choose one of these."), "time_zone")
    try:
        if holidays_in:
            working_days.check_place(holidays_in)
    except working_days.NoSuchPlace:
        raise Refused(_("Choose one of these."), "holidays_in") from None
    Customer.objects.filter(pk=customer.pk).update(time_zone=time_zone, holidays_in=holidays_in)
    customer.time_zone, customer.holidays_in = time_zone, holidays_in


def speak(customer: Customer, language: str) -> None:
    """Write to them, and show them their pages, in this language from now on. What was signed or kept stays as it was shown."""
    if language not in dict(settings.LANGUAGES):
        raise Refused(_("Choose one of these languages."), "language")
    Customer.objects.filter(pk=customer.pk).update(language=language)
    customer.language = language


@transaction.atomic
def correct_email(customer: Customer, email: str, by: Actor) -> None:
    """Write to another address from now on. Links that went to the old one die; each open job gets a new one by letter.

    Text messages end: whoever opened a letter that was not for them may have left a number of their own.
    """
    if customer.email == email:
        return
    Customer.objects.filter(pk=customer.pk).update(email=email)
    customer.email = email
    want_texts(customer, "", wants=False)
    for job in customer.jobs.with_people():
        revoke_links(job)
        if not job.is_over:
            ask_for_link(job, by)
