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
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        indexes = [models.Index(fields=["email"])]

    def __str__(self) -> str:
        return self.name

    @property
    def called(self) -> str:
        """How we address them: the first of their names."""
        return self.name.split()[0] if self.name.split() else self.name
