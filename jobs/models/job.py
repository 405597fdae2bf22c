from datetime import datetime
from typing import TYPE_CHECKING

from django.db import models
from django.utils import timezone
from django.utils.functional import cached_property
from django.utils.translation import gettext_lazy as _

from jobs import refs, searching, stages
from jobs.words import FilmInside, Holder, LeftAs, Opened, ReturnBy, Stage

if TYPE_CHECKING:
    from jobs.models.quote import Quote


class JobQuerySet(models.QuerySet["Job"]):
    def with_people(self) -> "JobQuerySet":
        return self.select_related("item", "customer")

    def on_the_bench(self) -> "JobQuerySet":
        """Jobs that are not over, or are over but still in our hands or on the way."""
        return self.filter(models.Q(stage__in=stages.ON_THE_BENCH) | ~models.Q(holder=Holder.NOBODY))

    def agreed_and_not_earned(self) -> "JobQuerySet":
        return self.filter(stage__in=stages.AGREED_AND_NOT_EARNED)

    def promised(self) -> "JobQuerySet":
        """Jobs with a promise still open, soonest first."""
        return self.on_the_bench().filter(likely_by__isnull=False).order_by("likely_by", "pk")

    def found_by(self, words: str) -> "JobQuerySet":
        """Jobs whose reference, item or customer contains every word, whatever its case and accents."""
        found = self
        for word in searching.fold(words).split():
            found = found.filter(search_text__contains=word)
        return found


class Job(models.Model):
    """One item, one story, one repair. `stage` and `holder` are assigned by `jobs.actions.moving` alone."""

    ref = models.CharField(max_length=7, unique=True)
    customer = models.ForeignKey("jobs.Customer", on_delete=models.PROTECT, related_name="jobs")
    item = models.ForeignKey("jobs.Item", on_delete=models.PROTECT, related_name="jobs")
    claim_on = models.ForeignKey(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="claims",
        verbose_name=_("claim on"),
    )

    stage = models.CharField(_("stage"), max_length=13, choices=Stage, default=Stage.EXPECTED)
    holder = models.CharField(_("whose move"), max_length=8, choices=Holder, default=Holder.CUSTOMER)
    stage_since = models.DateTimeField(default=timezone.now)
    holder_since = models.DateTimeField(default=timezone.now)

    story = models.TextField(_("what was noticed"), max_length=4000)
    noticed_when = models.CharField(_("when"), max_length=200, blank=True)
    film_inside = models.CharField(
        _("film inside"), max_length=6, choices=FilmInside, default=FilmInside.UNSURE
    )
    opened_before = models.CharField(_("opened before"), max_length=6, choices=Opened, default=Opened.UNSURE)
    return_by = models.CharField(_("goes home"), max_length=7, choices=ReturnBy, default=ReturnBy.POST)

    # What they looked at before booking, word for word as they were asked: [{"key", "asked", "answer"}], an `actions.booking.Looked` each.
    looked_at = models.JSONField(_("looked at before posting"), default=list, blank=True)

    # The answer to the customer's own question; stands at the top of the findings. Empty until given.
    story_answer = models.TextField(_("answer to the story"), max_length=1000, blank=True)

    # What the customer thought their claim rests on, and how an item was left that went back unrepaired.
    claim_cover = models.ForeignKey(
        "jobs.Cover", on_delete=models.PROTECT, null=True, blank=True, related_name="claims"
    )
    left_as = models.CharField(_("left as"), max_length=10, choices=LeftAs, blank=True)
    left_note = models.CharField(max_length=300, blank=True)

    likely_by = models.DateField(_("likely by"), null=True, blank=True)
    surely_by = models.DateField(_("almost surely by"), null=True, blank=True)
    promise_note = models.CharField(_("what the dates depend on"), max_length=200, blank=True)

    created_at = models.DateTimeField(default=timezone.now)
    opened_at = models.DateTimeField(_("page last opened by the customer"), null=True, blank=True)
    # Entries of the journal so far: the next entry takes last_seq + 1, and a page compares it to see news.
    last_seq = models.PositiveIntegerField(default=0)
    # What a job is found by, folded: written by `jobs.searching` when the job is made.
    search_text = models.TextField(blank=True, default="", editable=False)

    objects = JobQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["holder", "holder_since"]),
            models.Index(fields=["stage", "stage_since"]),
            models.Index(fields=["likely_by"]),
            models.Index(fields=["holder", "likely_by"]),
        ]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(surely_by__isnull=True) | models.Q(surely_by__gte=models.F("likely_by")),
                name="job_surely_not_before_likely",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.shown_ref} {self.item}"

    @property
    def shown_ref(self) -> str:
        return refs.show(self.ref)

    @property
    def move_words(self) -> str:
        """Whose move it is, in the customer's words."""
        return str(stages.MOVE_WORDS[Holder(self.holder)] % {"called": self.customer.called})

    @property
    def next_words(self) -> str:
        """What happens next, in the customer's words."""
        if self.holder == Holder.CUSTOMER and self.enquiry_waits:
            return str(stages.ENQUIRY_WORDS)
        if self.waits_for_money:
            return str(
                {
                    Stage.READY: stages.PAY_WORDS,
                    Stage.WITHDRAWN: stages.PAY_TO_LEAVE_WORDS,
                    Stage.AGREED: stages.DEPOSIT_WORDS,
                }[Stage(self.stage)]
            )
        if self.stage == Stage.AGREED and self.holder == Holder.WORKSHOP and self.is_done_free:
            return str(stages.FREE_WORDS)
        return str(stages.NEXT_WORDS[Stage(self.stage), Holder(self.holder)])

    @property
    def is_done_free(self) -> bool:
        """A claim that the workshop does at no charge: covered, or out of goodwill."""
        if self.claim_on_id is None:
            return False
        from jobs.models.warranty import Judged

        judged = Judged.objects.filter(job=self).first()
        return bool(judged and judged.is_done_free)

    @property
    def waits_for_money(self) -> bool:
        """It is the customer's move because something is to be paid: a deposit, or what is due before it goes into the post.

        Agreed work can also wait for the answer to a supplementary quote.
        """
        if self.holder != Holder.CUSTOMER:
            return False
        if self.stage in stages.TO_LEAVE:
            return self.return_by == ReturnBy.POST
        if self.stage != Stage.AGREED or self.enquiry_waits:
            return False
        quote = self.open_quote
        return not (quote and quote.work_waits)

    @cached_property
    def enquiry_waits(self) -> bool:
        """The work waits for the answer to a question of ours. Who has read the journal may set it, and spare the query."""
        if self.stage not in stages.MAY_WAIT_FOR_WORD:
            return False
        return self.enquiries.open().filter(work_waits=True).exists()

    @property
    def is_over(self) -> bool:
        return self.stage in stages.OVER

    @property
    def may_be_withdrawn(self) -> bool:
        return self.stage in stages.MAY_WITHDRAW

    @property
    def may_be_called_off(self) -> bool:
        """As `may_be_withdrawn`, but not while the parcel is on its way to us: then there is nothing to send back yet."""
        on_its_way = self.stage in stages.BEFORE_ARRIVAL and self.holder == Holder.CARRIER
        return self.may_be_withdrawn and not on_its_way

    @property
    def open_quote(self) -> "Quote | None":
        """The quote that waits for an answer, if any."""
        from jobs.models.quote import Quote

        return self.quotes.filter(state=Quote.State.OPEN).first()

    def days_held(self, now: datetime | None = None) -> int:
        """Days since the move became its present holder's, counted as a calendar counts them: yesterday evening is one day ago."""
        return (timezone.localdate(now) - timezone.localdate(self.holder_since)).days
