"""Six figures that go by letter to the address on file, before a quote is answered from a device that is not known to be theirs.

The figures are drawn when the letter is handed to the mail server and stand nowhere else: the row has a salted digest. One code opens
one quote on one device, once, within half an hour and five tries.
"""

import secrets
from dataclasses import dataclass
from datetime import timedelta

from django.utils import timezone

from jobs import journal
from jobs.actions.moving import changing
from jobs.actor import Actor
from jobs.canonical import salted
from jobs.models import Code, Job, Kind, Opening, PrivateLink, Quote, Workshop

# Common practice for figures that are typed from a letter, no source.
FIGURES = 6
LIVES = timedelta(minutes=30)
MOST_TRIES = 5
NO_FIGURES = "–" * FIGURES  # what a letter says whose code was used before it left


@dataclass(frozen=True)
class Right:
    """It was the code: used now, and the device is theirs from here on."""

    code: Code


@dataclass(frozen=True)
class Wrong:
    """Other figures than those in the newest letter. `left`: how many tries there still are."""

    left: int


@dataclass(frozen=True)
class Spent:
    """Too many tries: a new letter is needed."""


@dataclass(frozen=True)
class Expired:
    """The half hour is over: a new letter is needed."""


@dataclass(frozen=True)
class NotSent:
    """There is no code that could be typed: none was asked for, or its letter has not left yet, or it was used."""


Typed = Right | Wrong | Spent | Expired | NotSent


def is_needed(job: Job, device: str, highest: int) -> bool:
    """Whether an answer that may come to `highest` (minor units) needs a code from `device` (its cookie, "" for none)."""
    house = Workshop.objects.current()
    if house is None:
        return False
    if house.code_above is not None and highest > house.code_above:
        return True
    return house.code_for_new_devices and not is_known(job, device)


def is_known(job: Job, device: str) -> bool:
    """Whether a device is taken for the customer's own.

    It is, where it was the first to come in by any letter of theirs, where it booked this job itself (a link that was sent to nobody),
    and where a code was typed on it before. While no letter was ever opened, whoever is here is the first. Who opens a claim is known
    as well as on the job that it rests on.
    """
    theirs = Opening.objects.filter(link__job__customer=job.customer_id)
    by_letter = theirs.exclude(link__made_for="").order_by("first_at", "pk")
    first = by_letter.values_list("device", flat=True).first()
    if first is None or first == device:
        return True
    own = theirs.filter(device=device)
    if own.filter(confirmed_at__isnull=False).exists():
        return True
    booked = job
    while booked.claim_on:
        booked = booked.claim_on
    return own.filter(link__job=booked, link__made_for="").exists()


def waiting(quote: Quote, device: str) -> Code | None:
    """The newest code that was asked for here and not used, whether or not its letter has left."""
    newest = Code.objects.filter(quote=quote, device=device).order_by("-pk").first()
    return newest if newest and newest.used_at is None else None


def state_of(code: Code) -> NotSent | Spent | Expired | None:
    """Why no figures can be typed for a code that was not used; None while they can."""
    if code.tries >= MOST_TRIES:
        return Spent()
    if code.expires_at is None:
        return NotSent()
    return Expired() if code.expires_at <= timezone.now() else None


def ask_for_code(quote: Quote, device: str, by: Actor) -> Code:
    """Ask for a code. The journal says so, and the letter goes to the address on file only; older codes of the device no longer count."""
    with changing(quote.job) as job:
        code = Code.objects.create(quote=quote, device=device, asked_at=timezone.now())
        journal.append(job, Kind.CODE_ASKED, by, {"quote": quote.n, "code": code.pk})
        return code


def draw_code(code_id: int) -> str:
    """New figures for a code whose letter is being handed over: the only time that they can be seen. Tries go on counting."""
    figures = f"{secrets.randbelow(10**FIGURES):0{FIGURES}d}"
    salt = secrets.token_urlsafe(32)
    drawn = Code.objects.filter(pk=code_id, used_at__isnull=True).update(
        salt=salt, code_hash=salted(salt, figures), expires_at=timezone.now() + LIVES
    )
    return figures if drawn else NO_FIGURES


def type_code(quote: Quote, device: str, figures: str, by: Actor, link: PrivateLink | None = None) -> Typed:
    """Compare what was typed with the newest code of this quote on this device, inside the job's lock. Each wrong one counts.

    Right: it is used up, and the device is noted as theirs at `link`.
    """
    with changing(quote.job) as job:
        code = waiting(quote, device)
        if code is None:
            return NotSent()
        if closed := state_of(code):
            return closed
        if not secrets.compare_digest(salted(code.salt, figures), code.code_hash):
            code.tries += 1
            code.save(update_fields=["tries"])
            return Wrong(MOST_TRIES - code.tries) if code.tries < MOST_TRIES else Spent()
        code.used_at = timezone.now()
        code.save(update_fields=["used_at"])
        _confirm(device, link)
        journal.append(job, Kind.CODE_TYPED, by, {"quote": quote.n, "code": code.pk})
        return Right(code)


def _confirm(device: str, link: PrivateLink | None) -> None:
    if link is None or not device:
        return
    now = timezone.now()
    Opening.objects.update_or_create(
        link=link,
        device=device,
        defaults={"confirmed_at": now, "last_at": now},
        create_defaults={"first_at": now, "last_at": now, "confirmed_at": now},
    )
