"""What is known about something owed when the telephone is picked up: read from the rows for `opening_words`."""

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import evidence, money
from jobs.models import Enquiry, Job, Quote, Workshop
from jobs.words import Owes
from notifications.models import Owing
from portal.office.opening_words import Call, that_matters


def facts_of(owing: Owing, caller: str) -> Call:
    """At most five queries."""
    job, about = owing.job, Owes(owing.about)
    house = Workshop.objects.current()
    decides = about in (Owes.QUOTE, Owes.QUESTION)
    return Call(
        caller=caller,
        workshop=house.name if house else "",
        item=job.item.name,
        about=about,
        asked_on=timezone.localdate(owing.since),
        finding=that_matters(job.findings.standing()) if decides else None,
        offered=_offered(job) if about == Owes.QUOTE else "",
        question=_question(owing) if about == Owes.QUESTION else "",
        last_day=owing.last_day if about == Owes.QUOTE else None,
        due=money.show(owing.money, owing.currency) if owing.money and not decides else "",
        hours=house.hours if house and about == Owes.COLLECTION else "",
        reached=bool(job.opened_at and job.opened_at >= owing.since),
    )


def _offered(job: Job) -> str:
    """From all that is needed to everything, as the office's sheet says it."""
    quote = Quote.objects.open().filter(job=job).prefetch_related("lines").defer("shown").first()
    if quote is None:
        return ""
    least, most = (money.show(sum_, quote.currency) for sum_ in evidence.extremes(quote, quote.lines.all()))
    return most if least == most else _("%(least)s to %(most)s") % {"least": least, "most": most}


def _question(owing: Owing) -> str:
    number = owing.thing.rpartition("-")[2]
    asked = (
        Enquiry.objects.filter(job=owing.job_id, pk=number) if number.isdigit() else Enquiry.objects.none()
    )
    return asked.values_list("text", flat=True).first() or ""
