import json
from typing import Any

from django.db import models
from django.utils.translation import gettext_lazy as _


class Kind(models.TextChoices):
    """What happened. What a customer reads about each is in `jobs.timeline`; which of them lead to letters, in `notifications.plan`."""

    BOOKED = "booked", _("Booked in")
    POSTED = "posted", _("Customer says it is posted")
    ARRIVED = "arrived", _("Arrived")
    EXAMINING = "examining", _("Examination begun")
    FINDING_POSTED = "finding_posted", _("Finding posted")
    FINDING_CORRECTED = "finding_corrected", _("Finding corrected")
    FINDING_WITHDRAWN = "finding_withdrawn", _("Finding withdrawn")
    STORY_ANSWERED = "story_answered", _("Story answered")
    QUOTE_SENT = "quote_sent", _("Quote sent")
    QUOTE_WITHDRAWN = "quote_withdrawn", _("Quote taken back")
    QUOTE_LAPSED = "quote_lapsed", _("Quote lapsed")
    DECIDED = "decided", _("Quote answered")
    TRIED = "tried", _("Tried")
    TRY_UNDONE = "try_undone", _("What came out taken back")
    PRICED = "priced", _("Final price noted")
    PAID = "paid", _("Payment noted")
    REFUNDED = "refunded", _("Refund noted")
    PAYMENT_UNDONE = "payment_undone", _("Payment taken back")
    RELEASED = "released", _("Released before it was settled")
    CODE_ASKED = "code_asked", _("Code asked for")
    CODE_TYPED = "code_typed", _("Code typed")
    PAPER = "paper", _("Copy made")
    ASKED = "asked", _("Question asked")
    ANSWERED = "answered", _("Question answered")
    PROMISED = "promised", _("Dates given")
    WORK_STARTED = "work_started", _("Work started")
    PART_AWAITED = "part_awaited", _("Part ordered")
    PART_CAME = "part_came", _("Part arrived")
    PROVING = "proving", _("Proving begun")
    PROVED = "proved", _("Proved")
    NOT_CONTENT = "not_content", _("Back to the bench")
    READY = "ready", _("Ready")
    SENT_BACK = "sent_back", _("Sent back")
    DELIVERED = "delivered", _("Delivered")
    WITHDRAWN = "withdrawn", _("Withdrawn")
    WARRANTY = "warranty", _("Warranty begun")
    CLAIM_OPENED = "claim_opened", _("Warranty claim opened")
    CLAIM_ACCEPTED = "claim_accepted", _("Done under warranty")
    CLAIM_JUDGED = "claim_judged", _("Claim decided")
    WARRANTY_ENDS = "warranty_ends", _("Warranty ends soon")
    NUDGED = "nudged", _("Reminder")
    CALLED = "called", _("Telephone call noted")
    LINK_ASKED = "link_asked", _("New private link asked for")
    ENQUIRED = "enquired", _("We asked a question")
    ENQUIRY_ANSWERED = "enquiry_answered", _("Our question answered")
    ENQUIRY_DROPPED = "enquiry_dropped", _("Our question taken back")
    PAUSED = "paused", _("Reminders paused")
    RESUMED = "resumed", _("Reminders taken up again")
    CAME_BACK = "came_back", _("A letter came back")


class Entry(models.Model):
    """One line of a job's journal: append-only, hash-chained per job. Triggers refuse UPDATE and DELETE on both databases.

    `body` is the RFC 8785 canonical JSON that was hashed; the other columns repeat parts of it so that they can be queried, and
    `verify_journal` checks that they agree. `hash` = SHA-256(body), and body holds the hash of the entry before (`prev`).
    """

    job = models.ForeignKey("jobs.Job", on_delete=models.PROTECT, related_name="entries")
    seq = models.PositiveIntegerField()
    at = models.DateTimeField()
    kind = models.CharField(max_length=20, choices=Kind)
    by_kind = models.CharField(max_length=8)
    by_name = models.CharField(max_length=120)
    body = models.TextField()
    prev = models.CharField(max_length=64, blank=True)
    hash = models.CharField(max_length=64)

    class Meta:
        verbose_name_plural = "entries"
        ordering = ["job_id", "seq"]
        constraints = [models.UniqueConstraint(fields=["job", "seq"], name="entry_one_per_place")]
        indexes = [models.Index(fields=["kind", "at"])]

    def __str__(self) -> str:
        return f"{self.job_id}/{self.seq} {self.kind}"

    @property
    def data(self) -> dict[str, Any]:
        """What the entry carries beside who and when: strings, integers, booleans, lists and None."""
        data: dict[str, Any] = json.loads(self.body)["data"]
        return data
