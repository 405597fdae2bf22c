"""The ways to a person beside the mailbox: text messages and notices on their device; and addresses that no longer work."""

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from jobs.words import Way


class TextGatewayManager(models.Manager["TextGateway"]):
    def current(self) -> "TextGateway | None":
        return self.order_by("pk").first()


class TextGateway(models.Model):
    """A service that takes text messages over HTTPS, as the owner typed it in: one row.

    `body` and `header` are templates: {to}, {text}, {sender} and {secret} are put in, quoted as the kind of body needs it.
    """

    class Body(models.TextChoices):
        JSON = "json", "JSON"
        FORM = "form", _("a form (application/x-www-form-urlencoded)")

    url = models.URLField(_("address of the gateway"), max_length=300)
    kind = models.CharField(_("kind of body"), max_length=4, choices=Body, default=Body.JSON)
    body = models.TextField(_("body"), max_length=2000)
    header = models.CharField(
        _("header that proves who we are"), max_length=300, blank=True
    )  # "Authorization: Bearer {secret}"
    sealed_secret = models.TextField(blank=True)  # see notifications.sealing
    sender = models.CharField(_("sender"), max_length=20, blank=True)
    countries = models.JSONField(
        _("countries"), default=list, blank=True
    )  # ISO 3166 codes we write to; empty: the workshop's own
    daily_most = models.PositiveSmallIntegerField(_("most messages a day"), default=50)

    objects = TextGatewayManager()

    def __str__(self) -> str:
        return self.url


class PushSubscription(models.Model):
    """A browser that takes notices for a customer (RFC 8030): its address and the keys that only it can read with (RFC 8291)."""

    customer = models.ForeignKey("jobs.Customer", on_delete=models.CASCADE, related_name="subscriptions")
    endpoint = models.CharField(max_length=700, unique=True)
    p256dh = models.CharField(max_length=100)
    auth = models.CharField(max_length=40)
    made_at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return f"{self.customer_id}/{self.pk}"


class DeadAddress(models.Model):
    """An address that letters came back from, or whose owner does not want them: nothing goes there until it is changed."""

    class Why(models.TextChoices):
        BOUNCED = "bounced", _("a letter came back")
        COMPLAINED = "complained", _("marked as unwanted")

    way = models.CharField(max_length=8, choices=Way)
    address = models.CharField(max_length=254)  # lower case
    why = models.CharField(max_length=10, choices=Why)
    said = models.CharField(max_length=400, blank=True)
    since = models.DateTimeField(default=timezone.now)

    class Meta:
        verbose_name_plural = "dead addresses"
        constraints = [models.UniqueConstraint(fields=["way", "address"], name="dead_address_once")]

    def __str__(self) -> str:
        return f"{self.way}: {self.address}"


class Told(models.Model):
    """Something a provider told us about a letter, once, whatever it repeats."""

    event_id = models.CharField(max_length=200, unique=True)
    kind = models.CharField(max_length=20)
    letter = models.ForeignKey(
        "notifications.Letter", on_delete=models.CASCADE, null=True, related_name="told"
    )
    said = models.CharField(max_length=400, blank=True)
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        verbose_name_plural = "told"

    def __str__(self) -> str:
        return f"{self.kind} {self.event_id}"
