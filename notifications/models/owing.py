from datetime import date, timedelta

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from jobs.words import Owes, Tone, Way


class OwingQuerySet(models.QuerySet["Owing"]):
    def past_free_storage(self, today: date) -> "OwingQuerySet":
        """What nobody has collected, and is kept for nothing no longer."""
        return self.filter(about=Owes.COLLECTION, last_day__lt=today)


class Owing(models.Model):
    """Something that a customer owes us, as the office lists it: a summary of other rows, made anew whenever the job's journal grows
    and once an hour. What decides is looked at again, inside the job's lock, before anything is sent.
    """

    class State(models.TextChoices):
        CHASED = "chased", _("a nudge follows")
        CALL = "call", _("ring them")
        PAUSED = "paused", _("paused")
        OURS = "ours", _("our move first")  # they asked something: we answer before we ask again

    job = models.ForeignKey("jobs.Job", on_delete=models.CASCADE, related_name="owings")
    about = models.CharField(_("what is owed"), max_length=10, choices=Owes)
    thing = models.CharField(max_length=40, unique=True)  # as in `Nudge.thing`
    since = models.DateTimeField()
    money = models.BigIntegerField(default=0)  # minor units that wait for it
    currency = models.CharField(max_length=3, default="GBP")
    last_day = models.DateField(null=True, blank=True)  # a quote's last day, or the last day of free storage
    state = models.CharField(max_length=6, choices=State, default=State.CHASED)
    next_on = models.DateField(null=True, blank=True)
    next_way = models.CharField(max_length=8, choices=Way, blank=True, default="")
    next_tone = models.CharField(max_length=5, choices=Tone, blank=True, default="")
    # The chance that it comes by itself within the next days, and what a call would gain: see jobs.waiting.
    chance = models.FloatField(default=0.0)
    gain = models.BigIntegerField(default=0)

    objects = OwingQuerySet.as_manager()

    class Meta:
        ordering = ["-gain", "pk"]
        indexes = [
            models.Index(fields=["-gain", "id"], name="owing_by_gain"),
            models.Index(fields=["since", "id"], name="owing_by_since"),
            models.Index(fields=["-money", "id"], name="owing_by_money"),
            models.Index(fields=["next_on", "id"], name="owing_by_next"),
            models.Index(fields=["about", "-gain", "id"], name="owing_by_about"),
            models.Index(fields=["state", "-gain", "id"], name="owing_by_state"),
        ]

    def __str__(self) -> str:
        return self.thing

    @property
    def storage_from(self) -> date | None:
        """The day after the last one of free storage; None for what is not to be collected."""
        if self.about != Owes.COLLECTION or self.last_day is None:
            return None
        return self.last_day + timedelta(days=1)


class Pause(models.Model):
    """Reminders about a job are off: until a day (put off), or until somebody takes them up again."""

    job = models.OneToOneField("jobs.Job", on_delete=models.CASCADE, primary_key=True, related_name="pause")
    since = models.DateTimeField(default=timezone.now)
    until = models.DateField(null=True, blank=True)  # reminders go on with this day
    because = models.CharField(_("why"), max_length=200, blank=True)
    by_name = models.CharField(max_length=120, blank=True)

    def __str__(self) -> str:
        return f"{self.job_id} until {self.until or 'further notice'}"
