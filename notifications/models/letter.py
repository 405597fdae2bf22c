import uuid
from collections.abc import Iterable
from datetime import datetime

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from jobs.words import Way

# A letter that has been tried this often without luck is shown to the office, though we go on trying.
WORRYING_ATTEMPTS = 3


class LetterQuerySet(models.QuerySet["Letter"]):
    def owed(self, now: datetime | None = None) -> "LetterQuerySet":
        """Letters that should be on their way by now."""
        return self.filter(state__in=Letter.State.open_ones(), next_attempt_at__lte=now or timezone.now())

    def put_off(self, now: datetime | None = None) -> "LetterQuerySet":
        """Letters whose time has not come: they wait for company, for the day, or for another try."""
        return self.filter(state=Letter.State.WAITING, next_attempt_at__gt=now or timezone.now())

    def stranded(self, now: datetime | None = None) -> "LetterQuerySet":
        """Letters whose worker went away in mid-sending: nobody holds them any more."""
        return self.filter(state=Letter.State.SENDING, lease_until__lt=now or timezone.now())

    def troubled(self) -> "LetterQuerySet":
        """What the office should look at, newest first: failed, perhaps not arrived, or tried again and again."""
        worrying = models.Q(state=Letter.State.WAITING, attempts__gte=WORRYING_ATTEMPTS)
        return self.filter(
            models.Q(state__in=[Letter.State.FAILED, Letter.State.AMBIGUOUS, Letter.State.RETURNED])
            | worrying
        ).order_by("-pk")

    def gone(self) -> "LetterQuerySet":
        """Letters that have reached their reader or may have, by themselves or inside another one."""
        by_itself = models.Q(state__in=Letter.State.gone_ones())
        inside = models.Q(state=Letter.State.CARRIED, carried_by__state__in=Letter.State.gone_ones())
        return self.filter(by_itself | inside)

    def to_customers(self) -> "LetterQuerySet":
        return self.filter(person__isnull=False)

    def last_of(self, job_ids: Iterable[int]) -> dict[int, "Letter"]:
        """The newest letter to the customer of each of these jobs, in one query."""
        newest = self.to_customers().filter(job__in=job_ids).values("job").annotate(last=models.Max("pk"))
        found = self.filter(pk__in=newest.values("last")).defer("text", "html")
        return {letter.job_id: letter for letter in found}


class Letter(models.Model):
    """One message to one person about one entry of the journal. The row is there before anything is sent.

    `subject`, `text` and `html` are kept as written, except that private links hold a placeholder: the key is made when the
    letter is handed to the mail server, so that nothing in the database opens a page. `message_id` never changes.
    """

    class State(models.TextChoices):
        WAITING = "waiting", _("Waiting")
        SENDING = "sending", _("Being sent")
        SENT = "sent", _("Sent")
        AMBIGUOUS = "ambiguous", _("Perhaps sent")
        FAILED = "failed", _("Failed")
        SKIPPED = "skipped", _("Not sent")
        CARRIED = "carried", _("In another letter")
        RETURNED = "returned", _("Came back")

        @classmethod
        def open_ones(cls) -> list["Letter.State"]:
            """States in which a letter may still be tried."""
            return [cls.WAITING, cls.AMBIGUOUS]

        @classmethod
        def gone_ones(cls) -> list["Letter.State"]:
            """States in which it has reached its reader, or may have."""
            return [cls.SENT, cls.SENDING, cls.AMBIGUOUS]

    class Trouble(models.TextChoices):
        """What kind of failure the last try was."""

        NONE = "", ""
        TEMPORARY = "temporary", _("temporary")
        THROTTLED = "throttled", _("asked to go slower")
        PERMANENT = "permanent", _("permanent")
        AMBIGUOUS = "ambiguous", _("perhaps sent")

    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    entry = models.ForeignKey("jobs.Entry", on_delete=models.PROTECT, related_name="letters")
    # The entry's job, repeated here: threads and the office's list are read by it.
    job = models.ForeignKey("jobs.Job", on_delete=models.PROTECT, related_name="letters")
    # None: the letter is for the workshop itself.
    person = models.ForeignKey(
        "jobs.Customer", on_delete=models.PROTECT, null=True, blank=True, related_name="letters"
    )
    channel = models.CharField(max_length=8, choices=Way, default=Way.EMAIL)
    kind = models.CharField(_("kind"), max_length=20)  # a folder of templates/letters
    essential = models.BooleanField(_("always sent"), default=False)
    # Goes at once and alone; everything else waits a little for company, and for the day.
    urgent = models.BooleanField(_("goes at once"), default=True)
    # The letter that carries this one's words with its own: one letter, not five.
    carried_by = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="carries"
    )
    language = models.CharField(max_length=12, default="en-gb")

    # By channel: an e-mail address, a telephone number (E.164), or the number of a `PushSubscription`.
    to_address = models.CharField(_("to"), max_length=254, blank=True)
    subject = models.CharField(_("subject"), max_length=200, blank=True)
    text = models.TextField(blank=True)
    html = models.TextField(blank=True)
    photo = models.ForeignKey(
        "jobs.Photo", on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    picture = models.CharField(
        max_length=80, blank=True
    )  # the stored file that goes inside, below MEDIA_ROOT

    message_id = models.CharField(max_length=255, unique=True)
    references = models.CharField(max_length=600, blank=True)  # message ids, root first, last one is answered

    state = models.CharField(_("state"), max_length=9, choices=State, default=State.WAITING)
    why = models.CharField(_("why"), max_length=300, blank=True)
    by_hand = models.BooleanField(default=False)  # the office asked for it: sent whatever the plan says
    attempts = models.PositiveSmallIntegerField(_("attempts"), default=0)
    doubts = models.PositiveSmallIntegerField(default=0)  # how often it may have arrived without our knowing
    next_attempt_at = models.DateTimeField(null=True, blank=True)
    lease_until = models.DateTimeField(null=True, blank=True)
    lease_token = models.UUIDField(null=True, blank=True)
    handed_at = models.DateTimeField(
        null=True, blank=True
    )  # in this attempt the body began to leave the house
    woken_at = models.DateTimeField(null=True, blank=True)  # when a worker was last told about it
    last_error = models.CharField(max_length=400, blank=True)
    trouble = models.CharField(max_length=9, choices=Trouble, blank=True, default="")
    # What the other side calls it, where it is not handed over by SMTP; and what it told of it later.
    provider_id = models.CharField(max_length=200, blank=True, default="")
    arrived_at = models.DateTimeField(null=True, blank=True)
    made_at = models.DateTimeField(default=timezone.now)
    sent_at = models.DateTimeField(null=True, blank=True)

    objects = LetterQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["entry", "person", "channel"], name="letter_once_per_person"),
            # NULLs count as different, so the workshop's own letters need a rule of their own.
            models.UniqueConstraint(
                fields=["entry", "channel"],
                condition=models.Q(person__isnull=True),
                name="letter_once_to_the_workshop",
            ),
        ]
        indexes = [
            models.Index(fields=["job", "id"]),
            # Whole, not partial: with `state IN (...)` SQLite cannot tell that a partial index fits, and reads every letter.
            models.Index(fields=["state", "next_attempt_at"], name="letter_by_state"),
            models.Index(
                fields=["provider_id"], name="letter_by_provider_id", condition=~models.Q(provider_id="")
            ),
        ]

    def __str__(self) -> str:
        return self.subject or self.kind

    @property
    def is_to_the_workshop(self) -> bool:
        return self.person_id is None

    @property
    def waits_until(self) -> datetime | None:
        """The moment until which it waits to be sent at all, where that is still to come: for the day, or for company."""
        if self.state != self.State.WAITING or self.attempts or self.next_attempt_at is None:
            return None
        return self.next_attempt_at if self.next_attempt_at > timezone.now() else None
