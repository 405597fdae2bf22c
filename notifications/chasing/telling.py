"""What letters of nudges tell, and the note that tells the workshop to ring: from the entry, and from rows that no longer change.

Entries of the first version know quotes only: they have no `thing` and no `tone`.
"""

from datetime import date, timedelta
from typing import Any

from django.utils import timezone

from jobs.accounts import Account
from jobs.models import Enquiry, Entry, Kind, Quote, Workshop
from jobs.words import Owes, Stage, Tone
from notifications.chasing.owed import MADE_READY
from notifications.paying import asked_for, shown, stands_at

Content = dict[str, Any]


def about(entry: Entry) -> str:
    """What a nudge was about: a value of `Owes`."""
    return str(entry.data.get("about", Owes.QUOTE))


def tone(entry: Entry) -> str:
    """How it speaks: a value of `Tone`."""
    told = entry.data
    if "tone" in told:
        return str(told["tone"])
    if told.get("last"):
        return str(Tone.LAST)
    return str(Tone.KIND if told["step"] == 1 else Tone.PLAIN)


def _common(entry: Entry) -> Content:
    return {
        "tone": tone(entry),
        "last": tone(entry) == Tone.LAST,
        # Only who has a number can be rung, and is told so.
        "telephone": entry.job.customer.telephone,
    }


def quote(entry: Entry) -> Content:
    row: Quote = entry.job.quotes.get(n=entry.data["quote"])
    return {
        **_common(entry),
        "adds": row.is_supplementary,
        "work_waits": row.work_waits,
        "sent_at": row.sent_at,
        "valid_until": row.valid_until,
    }


def question(entry: Entry) -> Content:
    """Every question that was open when the nudge was written, the oldest first."""
    asked = Enquiry.objects.filter(pk__in=entry.data["enquiries"]).select_related("finding")
    rows = list(asked)
    return {
        **_common(entry),
        "questions": [{"text": row.text, "about": str(row.finding or "")} for row in rows],
        "several": len(rows) > 1,
        "asked_at": rows[0].asked_at if rows else entry.at,
        "work_waits": any(row.work_waits for row in rows),
    }


def payment(entry: Entry) -> Content:
    """`why`: deposit (the work waits), leaves (the parcel waits), home (it is home already); `mended`: or it goes back as it is."""
    stands, job = stands_at(entry), entry.job
    deposit = job.stage == Stage.AGREED
    home = job.entries.filter(kind=Kind.SENT_BACK, seq__lt=entry.seq).exists()
    return {
        **_common(entry),
        "why": "deposit" if deposit else "home" if home else "leaves",
        "mended": job.stage in (Stage.READY, Stage.RETURNED),
        "paid": shown(stands.paid, stands.currency) if stands.paid > 0 else "",
        **asked_for(entry, stands, stands.deposit_due if deposit else stands.due),
    }


def collection(entry: Entry) -> Content:
    stands, job, house = stands_at(entry), entry.job, Workshop.objects.current()
    ready = job.entries.filter(kind__in=MADE_READY, seq__lt=entry.seq).order_by("-seq").first()
    since = ready.at if ready else entry.at
    free_until = timezone.localdate(since) + timedelta(days=house.storage_days if house else 0)
    return {
        **_common(entry),
        "mended": job.stage == Stage.READY,
        "since": since,
        **_due(entry, stands),
        **_terms(entry, house, free_until),
    }


def _due(entry: Entry, stands: Account) -> Content:
    paid = shown(stands.paid, stands.currency) if stands.paid > 0 and stands.due else ""
    return {"paid": paid, **asked_for(entry, stands, stands.due)}


def _terms(entry: Entry, house: Workshop | None, free_until: date) -> Content:
    """The workshop's own words about things that nobody collects, in the last letter and once the free days are over; nothing else
    is said of it, because nothing else is known.
    """
    over = timezone.localdate(entry.at) > free_until
    words = house.storage_words.strip() if house and (over or tone(entry) == Tone.LAST) else ""
    return {"storage_words": words, "free_until": free_until, "free_is_over": over}


def call(entry: Entry) -> Content:
    """For the workshop: whom to ring about what."""
    tell = {
        Owes.QUOTE: quote,
        Owes.QUESTION: question,
        Owes.PAYMENT: payment,
        Owes.COLLECTION: collection,
    }
    return {"about": about(entry), **tell[Owes(about(entry))](entry)}
