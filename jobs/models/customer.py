from django.db import models
from django.utils.translation import gettext_lazy as _


class Customer(models.Model):
    """A person who sends us things. No account, no password: they come in by a private link."""

    name = models.CharField(_("name"), max_length=120)
    email = models.EmailField(_("e-mail"), max_length=254)
    telephone = models.CharField(_("telephone"), max_length=40, blank=True)
    address = models.TextField(_("postal address"), max_length=400, blank=True)
    language = models.CharField(_("language"), max_length=12, default="en-gb")
    # False leaves out the letters that nobody has to act on. Quotes, questions and "ready" always go.
    wants_progress = models.BooleanField(_("wants progress letters"), default=True)
    # Where they live, for hours and days on which nothing goes out that can wait; "" is where the workshop is.
    time_zone = models.CharField(_("time zone"), max_length=60, blank=True, default="")
    holidays_in = models.CharField(
        _("holidays of"), max_length=12, blank=True, default=""
    )  # "GB-ENG"; see jobs.working_days
    # A telephone number (E.164) that takes text messages, and that they asked for them.
    text_to = models.CharField(_("text messages to"), max_length=16, blank=True, default="")
    wants_texts = models.BooleanField(_("wants text messages"), default=False)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        indexes = [models.Index(fields=["email"])]

    def __str__(self) -> str:
        return self.name

    @property
    def called(self) -> str:
        """How we address them: the first of their names."""
        return self.name.split()[0] if self.name.split() else self.name
