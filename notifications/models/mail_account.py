from django.db import models
from django.utils.translation import gettext_lazy as _


class MailAccountManager(models.Manager["MailAccount"]):
    def current(self) -> "MailAccount | None":
        return self.order_by("pk").first()


class MailAccount(models.Model):
    """The mailbox that letters go out by, as the owner typed it in: one row. Without one, SMTP_URL of the environment is used."""

    class Security(models.TextChoices):
        NONE = "none", _("None (only on this machine)")
        STARTTLS = "starttls", _("STARTTLS (usually port 587)")
        TLS = "tls", _("TLS (usually port 465)")

    host = models.CharField(_("mail server"), max_length=255)
    port = models.PositiveIntegerField(_("port"), default=587)
    user = models.CharField(_("user name"), max_length=254, blank=True)
    sealed_password = models.TextField(blank=True)  # see notifications.sealing
    security = models.CharField(_("security"), max_length=8, choices=Security, default=Security.STARTTLS)
    from_address = models.EmailField(_("letters come from"), max_length=254)

    objects = MailAccountManager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(port__gte=1, port__lte=65_535), name="mail_account_port_exists"
            )
        ]

    def __str__(self) -> str:
        return f"{self.host}:{self.port}"
