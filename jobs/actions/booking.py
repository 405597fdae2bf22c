"""A story comes in: a job is expected."""

from dataclasses import asdict, dataclass, field
from uuid import UUID

from django.db import IntegrityError, transaction

from jobs import journal, refs
from jobs.actor import Actor
from jobs.models import Customer, Item, Job, Kind, Photo
from jobs.searching import search_text
from jobs.words import FilmInside, Holder, LookedAnswer, Opened, ReturnBy, Stage


@dataclass(frozen=True)
class Looked:
    """A check that was offered before booking: its explanation's key, the question as it was asked, a value of LookedAnswer."""

    key: str
    asked: str
    answer: LookedAnswer


@dataclass(frozen=True)
class Booking:
    """What a customer tells us. Texts as typed, already checked by the form."""

    name: str
    email: str
    maker: str
    model: str
    story: str
    telephone: str = ""
    address: str = ""
    serial: str = ""
    noticed_when: str = ""
    film_inside: str = FilmInside.UNSURE
    opened_before: str = Opened.UNSURE
    return_by: str = ReturnBy.POST
    traits: list[str] = field(default_factory=list)
    language: str = "en-gb"
    basket: UUID | None = None
    looked_at: list[Looked] = field(default_factory=list)


@transaction.atomic
def book(booking: Booking, by: Actor | None = None) -> Job:
    """Make the customer (or find them, when nothing about them differs), the item and the job in *expected*.

    Takes over the photographs of `booking.basket`.
    """
    customer = _customer(booking)
    item = Item.objects.create(
        owner=customer,
        maker=booking.maker,
        model=booking.model,
        serial=booking.serial,
        traits=booking.traits,
    )
    job = new_job(
        customer=customer,
        item=item,
        story=booking.story,
        noticed_when=booking.noticed_when,
        film_inside=booking.film_inside,
        opened_before=booking.opened_before,
        return_by=booking.return_by,
        looked_at=[asdict(looked) for looked in booking.looked_at],
    )
    photos = 0
    if booking.basket:
        photos = Photo.objects.filter(basket=booking.basket, job__isnull=True).update(job=job, basket=None)
    journal.append(
        job,
        Kind.BOOKED,
        by or Actor.customer(customer),
        {"item": item.name, "story": job.story, "photos": photos, "looked_at": job.looked_at},
    )
    return job


def _customer(booking: Booking) -> Customer:
    """The person, made new unless what was typed is exactly who we know: anybody can type a name, so a booking changes nobody's row."""
    known = (
        Customer.objects.filter(email__iexact=booking.email, name__iexact=booking.name)
        .order_by("-pk")
        .first()
    )
    if known and booking.telephone in ("", known.telephone) and booking.address in ("", known.address):
        return known
    return Customer.objects.create(
        name=booking.name,
        email=booking.email,
        telephone=booking.telephone,
        address=booking.address,
        language=booking.language,
    )


def new_job(*, customer: Customer, item: Item, **fields: object) -> Job:
    """Draw a reference until it is free. The unique column decides, not a look beforehand."""
    while True:
        ref = refs.draw()
        found_by = search_text(ref, item.name, item.serial, customer.name)
        try:
            with transaction.atomic():
                return Job.objects.create(
                    ref=ref,
                    customer=customer,
                    item=item,
                    stage=Stage.EXPECTED,
                    holder=Holder.CUSTOMER,
                    search_text=found_by,
                    **fields,
                )
        except IntegrityError:
            if not Job.objects.exists():
                raise
