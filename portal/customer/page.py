"""Everything that the customer's page shows, gathered in a fixed number of queries however much there is of it.

At most twelve in all: session, link with job, workshop, note of reading; then journal, wordings, photographs, marks, quote, what was
agreed, times, and the covers of a warranty that has begun.
"""

from dataclasses import dataclass, replace
from datetime import date

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import money as minor
from jobs import stages
from jobs.library.shared import Word
from jobs.models import Cover, Job, Kind, Photo, Workshop
from jobs.words import Holder, ReturnBy, Stage
from portal.customer import found, measured, money, offer, photos, steps, told
from portal.drawing.pictures import Picture

STORY_SHORT = 260  # letters of the story that stand above the answer; the rest opens


@dataclass(frozen=True)
class Page:
    job: Job
    step: steps.Step
    when_lead: str
    no_dates: str
    dates_passed: bool
    surely_passed: bool
    story: tuple[str, str]
    told: told.Told
    found: list[found.Found]
    words: list[Word]
    offer: offer.Offer | None
    money: money.Money | None
    measured: measured.Measured | None
    portrait: Picture | None
    arrived: list[Picture]
    results: list[Picture]
    sent: list[Picture]
    photos_shown: int
    developing: int
    failed: list[Photo]
    covers: list[Cover]
    today: date

    @property
    def waits_for_renewal(self) -> bool:
        return self.job.stage == Stage.QUOTED and self.offer is not None and self.offer.state == "lapsed"

    @property
    def has_dates(self) -> bool:
        """Dates are said while they can still be kept or missed: not once it is ready, nor with a quote that has lapsed."""
        quiet = self.job.is_over or self.job.stage == Stage.READY or self.waits_for_renewal
        return bool(self.job.likely_by) and not quiet

    @property
    def may_grow(self) -> bool:
        """Work that is agreed is still to be done, so that a ceiling still holds it."""
        return self.job.stage in stages.MAY_SUPPLEMENT

    @property
    def counts_in_full(self) -> bool:
        """The account has a price "up to" at its most, because what the work took is not noted yet."""
        if not self.may_grow or self.offer is None:
            return False
        priced = {entry.data["line"] for entry in self.told.entries if entry.kind == Kind.PRICED}
        agreed = [
            line for each in (self.offer, *self.offer.before) for line in [*each.agreed, *each.branches]
        ]
        return any(line.get("up_to") and line["id"] not in priced for line in agreed)

    @property
    def to_send(self) -> bool:
        return self.job.stage == Stage.EXPECTED and self.job.holder == Holder.CUSTOMER

    @property
    def to_collect(self) -> bool:
        """It is here for them to fetch; what goes home by post waits for payment and not for them."""
        here = self.job.stage in stages.TO_LEAVE and self.job.return_by == ReturnBy.COLLECT
        return here and self.job.holder == Holder.CUSTOMER

    @property
    def is_a_question(self) -> bool:
        return "?" in self.job.story


def read(job: Job, may_act: bool, house: Workshop | None) -> Page:
    """`may_act`: the customer is reading, and not staff over their shoulder."""
    history = told.tell(list(job.entries.order_by("seq")))
    job.enquiry_waits = any(asked.work_waits for asked in history.enquired)
    album = photos.read(job)
    findings = found.read(job, album.shown, may_ask=may_act)
    last = offer.read(job, history.entries)
    if last:
        findings = found.with_tries(findings, (last, *last.before), history.entries)
    pays = money.read(job, history.entries, house)
    arrived = album.taken_for(Photo.Purpose.ARRIVAL)
    sent = album.taken_for(Photo.Purpose.STORY)
    return Page(
        job=job,
        step=_step(job, last, pays, bool(history.enquired)),
        when_lead=_when_lead(job, "" if history.answered_since_promise else job.promise_note),
        no_dates=steps.no_dates(job.stage),
        dates_passed=bool(job.likely_by and job.likely_by < timezone.localdate()),
        surely_passed=bool(job.surely_by and job.surely_by < timezone.localdate()),
        story=_short_and_rest(job.story),
        told=history,
        found=findings,
        words=found.words_met(findings),
        offer=last,
        money=pays,
        measured=measured.read(job),
        portrait=next(iter(photos.pictures_of(job, (arrived or sent)[:1])), None),
        arrived=photos.pictures_of(job, arrived),
        results=photos.pictures_of(job, album.taken_for(Photo.Purpose.RESULT)),
        sent=photos.pictures_of(job, sent),
        photos_shown=len(album.shown),
        developing=album.developing,
        failed=album.failed,
        covers=_covers(job, history),
        today=timezone.localdate(),
    )


def _step(job: Job, last: offer.Offer | None, pays: money.Money | None, enquired: bool) -> steps.Step:
    step = steps.step_for(
        job.stage, job.holder, last.state if last else "", pays.why if pays else "", enquired
    )
    if step is steps.PAY and pays:
        sum_asked = minor.show(pays.asked, pays.account.currency)
        return replace(step, button=_("How to pay %(sum)s") % {"sum": sum_asked})
    return step


def _covers(job: Job, history: told.Told) -> list[Cover]:
    if history.warranty_from is None:
        return []
    return list(Cover.objects.filter(warranty__job=job, until__isnull=False).order_by("until", "pk"))


def _when_lead(job: Job, depends_on: str) -> str:
    """The sentence above the dates, with what they depend on if the workshop said so."""
    note, collected = depends_on.strip().rstrip("."), job.return_by == ReturnBy.COLLECT
    note = note[:1].upper() + note[1:]
    if collected:
        return _("%(note)s, it is ready to collect") % {"note": note} if note else _("It is ready to collect")
    return _("%(note)s, it is back with you") % {"note": note} if note else _("It is back with you")


def _short_and_rest(story: str) -> tuple[str, str]:
    """A long story is cut after a sentence or a word, so that the answer stays in sight."""
    if len(story) <= STORY_SHORT:
        return story, ""
    head = story[:STORY_SHORT]
    cut = max(head.rfind(". ") + 1, head.rfind("? ") + 1) or head.rfind(" ")
    cut = cut if cut > 0 else STORY_SHORT
    return story[:cut].strip(), story[cut:].strip()
