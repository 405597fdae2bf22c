from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.words import PaymentKind, PaymentWay


class Payment(models.Model):
    """Money that changed hands for a job: append-only. `amount` in minor units, always above nothing; a refund goes to the customer.

    A slip is set right by a row that `reverses` it. `once` makes a form that was sent twice one payment. No data of cards, ever.
    """

    job = models.ForeignKey("jobs.Job", on_delete=models.PROTECT, related_name="payments")
    once = models.CharField(max_length=43, unique=True)
    kind = models.CharField(max_length=7, choices=PaymentKind)
    way = models.CharField(max_length=8, choices=PaymentWay)
    amount = models.BigIntegerField()
    currency = models.CharField(max_length=3)
    on = models.DateField(_("on"))
    note = models.CharField(_("note"), max_length=200, blank=True)
    reverses = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="reversed_by"
    )
    at = models.DateTimeField()
    by = models.CharField(max_length=120)

    class Meta:
        ordering = ["on", "pk"]
        constraints = [models.CheckConstraint(condition=models.Q(amount__gt=0), name="payment_above_nothing")]

    def __str__(self) -> str:
        return f"{self.job_id} {self.kind} {self.amount}"


class Released(models.Model):
    """The owner lets an item go home before everything is paid, and says why."""

    job = models.OneToOneField("jobs.Job", on_delete=models.PROTECT, related_name="released")
    because = models.CharField(max_length=300)
    at = models.DateTimeField()
    by = models.CharField(max_length=120)

    class Meta:
        verbose_name_plural = "released"

    def __str__(self) -> str:
        return f"{self.job_id}: {self.because}"
