from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class ReplyBoxManager(models.Manager["ReplyBox"]):
    def current(self) -> "ReplyBox | None":
        return self.order_by("pk").first()


class ReplyBox(models.Model):
    """The mailbox in which answers to our letters arrive, read over IMAP: one row."""

    class Security(models.TextChoices):
        STARTTLS = "starttls", _("STARTTLS (usually port 143)")
        TLS = "tls", _("TLS (usually port 993)")
        NONE = "none", _("None (only on this machine)")

    host = models.CharField(_("IMAP server"), max_length=255)
    port = models.PositiveIntegerField(_("port"), default=993)
    user = models.CharField(_("user name"), max_length=254)
    sealed_password = models.TextField(blank=True)  # see notifications.sealing
    security = models.CharField(_("security"), max_length=8, choices=Security, default=Security.TLS)
    folder = models.CharField(_("folder"), max_length=100, default="INBOX")
    address = models.EmailField(_("address of this mailbox"), max_length=254, default="")
    # Not every mail server takes "name+more@" for "name@". Signed addresses are used once one has been seen to arrive.
    plus_proved_at = models.DateTimeField(null=True, blank=True)
    last_look = models.DateTimeField(null=True, blank=True)
    trouble = models.CharField(max_length=300, blank=True)
    # The furthest message looked at, and the mailbox's own count that makes such numbers valid (RFC 3501, UIDVALIDITY).
    uid_validity = models.PositiveBigIntegerField(default=0)
    last_uid = models.PositiveBigIntegerField(default=0)

    objects = ReplyBoxManager()

    class Meta:
        verbose_name_plural = "reply boxes"

    def __str__(self) -> str:
        return f"{self.user} at {self.host}"


class Incoming(models.Model):
    """A message that came to us, once. The message itself is a file below MEDIA_ROOT, kept as it came."""

    class State(models.TextChoices):
        NEW = "new", _("Just arrived")
        TAKEN = "taken", _("Taken to its job")
        ROBOT = "robot", _("An automatic answer")
        ASIDE = "aside", _("Set aside")
        DONE = "done", _("Set aside, seen")

    fingerprint = models.CharField(max_length=64, unique=True)  # SHA-256 of its bytes, or of what names it
    state = models.CharField(max_length=5, choices=State, default=State.NEW)
    why = models.CharField(max_length=300, blank=True)  # why it was set aside, for the office
    via = models.CharField(max_length=20)  # "imap", "provider", "letterbox" (the demo)
    from_address = models.CharField(max_length=254, blank=True)
    subject = models.CharField(max_length=200, blank=True)
    text = models.TextField(blank=True)  # what they wrote, without what they quoted
    file = models.CharField(max_length=120, blank=True)
    size = models.PositiveIntegerField(default=0)
    # Files that came along and are no photographs: [{"name", "kind", "size"}], size in bytes. They stay in the message.
    left_out = models.JSONField(default=list, blank=True)
    photos = models.PositiveSmallIntegerField(default=0)  # photographs that went to the job
    job = models.ForeignKey(
        "jobs.Job", on_delete=models.PROTECT, null=True, blank=True, related_name="incoming"
    )
    question = models.ForeignKey(
        "jobs.Question", on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    enquiry = models.ForeignKey(
        "jobs.Enquiry", on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    tries = models.PositiveSmallIntegerField(default=0)
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        verbose_name_plural = "incoming"
        ordering = ["-pk"]
        indexes = [models.Index(fields=["state", "id"], name="incoming_by_state")]

    def __str__(self) -> str:
        return self.subject or self.from_address
