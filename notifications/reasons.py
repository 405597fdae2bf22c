"""When there is a letter at all, and why one is no longer worth sending: what the table of `notifications.plan` is made of.

Each reason is a sentence for the office, "" when the letter is worth it.
"""

from collections.abc import Callable
from datetime import date, timedelta

from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.models import Code, Enquiry, Entry, Finding, Kind, Quote, Tried
from jobs.words import Judgement, Owes, Stage
from notifications import paying
from notifications.chasing import courses, telling
from notifications.models import Letter, Owing

# Findings come in a row. Those of a short while stand in one letter; after it the page shows them, and the quote's letter carries them all.
ONE_FINDING_LETTER_IN = timedelta(hours=12)


def is_claim(entry: Entry) -> bool:
    return bool(entry.data.get("claim_on"))


def by_customer(entry: Entry) -> bool:
    return entry.by_kind == "customer"


def is_last_nudge(entry: Entry) -> bool:
    return bool(entry.data.get("last"))


def asks_for(about: Owes) -> Callable[[Entry], bool]:
    """Whether a nudge is about this."""
    return lambda entry: telling.about(entry) == about


def no_longer_owed(entry: Entry) -> str:
    """They have acted since the nudge was written, they asked us something, or somebody paused reminders."""
    thing = entry.data.get("thing") or f"quote-{_quote(entry).pk}"
    course = next((each for each in courses(entry.job) if each.owed.thing == thing), None)
    if course is None:
        return _("They no longer owe it.")
    if course.state == Owing.State.OURS:
        return _("They asked a question. Answer it first.")
    return _("Reminders are paused.") if course.state == Owing.State.PAUSED else ""


def _quote(entry: Entry) -> Quote:
    return entry.job.quotes.get(n=entry.data["quote"])


def quote_is_settled(entry: Entry) -> str:
    if _quote(entry).state == Quote.State.OPEN:
        return ""
    return _("The quote no longer waits for an answer.")


def enquiry_is_closed(entry: Entry) -> str:
    """It was answered, taken back, or the job is over."""
    if not Enquiry.objects.open().filter(pk=entry.data["enquiry"]).exists():
        return _("The question no longer waits for an answer.")
    return is_over(entry)


def quote_is_renewed(entry: Entry) -> str:
    newer = entry.job.quotes.filter(n__gt=entry.data["quote"]).exclude(state=Quote.State.DRAFT)
    return _("There is a newer quote.") if newer.exists() else ""


def not_at(*stages: Stage) -> Callable[[Entry], str]:
    def why_not(entry: Entry) -> str:
        return "" if entry.job.stage in stages else _("The job has moved on.")

    return why_not


def is_over(entry: Entry) -> str:
    return _("The job is over.") if entry.job.is_over else ""


def quote_tells_more(entry: Entry) -> str:
    later = entry.job.entries.filter(seq__gt=entry.seq, kind=Kind.QUOTE_SENT)
    return _("The quote tells more by now.") if later.exists() else ""


def finding_is_carried(entry: Entry) -> str:
    if not Finding.objects.standing().filter(pk=entry.data["finding"]).exists():
        return _("The finding was taken back.")
    earlier = Letter.objects.gone().filter(
        job=entry.job_id,
        kind="finding_posted",
        entry__at__gte=entry.at - ONE_FINDING_LETTER_IN,
        entry__seq__lt=entry.seq,
    )
    on_its_way = Q(state=Letter.State.SENDING) | Q(carried_by__state=Letter.State.SENDING)
    if earlier.exclude(on_its_way).exists():  # what is on its way at this moment may take this one along
        return _("A letter about a finding went out shortly before. This one stands on the page.")
    return quote_tells_more(entry)


def dates_are_carried(entry: Entry) -> str:
    later = entry.job.entries.filter(seq__gt=entry.seq, kind__in=[Kind.QUOTE_SENT, Kind.PROMISED])
    if entry.job.stage == Stage.EXAMINING or later.filter(kind=Kind.QUOTE_SENT).exists():
        return _("The dates go with the quote.")
    if later.exists():
        return _("Newer dates were given.")
    return is_over(entry)


def code_is_idle(entry: Entry) -> str:
    code = Code.objects.filter(pk=entry.data["code"]).first()
    if code is None or code.used_at:
        return _("The code was used.")
    if Code.objects.filter(quote=code.quote_id, device=code.device, pk__gt=code.pk).exists():
        return _("A newer code was asked for.")
    return quote_is_settled(entry)


def is_not_covered(entry: Entry) -> bool:
    return bool(entry.data["judgement"] == Judgement.NOT_COVERED)


def is_no_longer_wanted(entry: Entry) -> str:
    warranty = entry.job.warranty
    if not warranty.wants_reminder:
        return _("They no longer ask for it.")
    return (
        "" if date.fromisoformat(entry.data["last"]) >= timezone.localdate() else _("The warranty has ended.")
    )


def stops_and_asks(entry: Entry) -> bool:
    return bool(entry.data["then"] == Tried.Then.ASKS)


def goes_on(entry: Entry) -> bool:
    return not stops_and_asks(entry)


def is_no_news(entry: Entry) -> str:
    return _("It was noted by mistake.") if paying.try_was_undone(entry) else is_over(entry)


def nobody_read_of_it(entry: Entry) -> str:
    return "" if paying.was_told_of_try(entry) else _("No letter about it had gone out.")


def quote_followed(entry: Entry) -> str:
    if paying.try_was_undone(entry):
        return _("It was noted by mistake.")
    later = entry.job.entries.filter(seq__gt=entry.seq, kind=Kind.QUOTE_SENT)
    return _("The quote tells of it.") if later.exists() else is_over(entry)


def was_a_mistake(entry: Entry) -> str:
    return _("It was noted by mistake.") if paying.was_undone(entry) else ""


def nobody_was_told(entry: Entry) -> str:
    return "" if paying.had_receipt(entry) else _("No receipt had gone out.")


def was_collected(entry: Entry) -> str:
    return _("They collected it themselves.") if entry.data["collected"] else ""
