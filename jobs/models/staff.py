from django.contrib.auth.models import AbstractUser
from django.db import models
from django.utils.translation import gettext_lazy as _


class Staff(AbstractUser):
    """Somebody who works here and logs in with a password. The owner may do all that a technician may."""

    class Role(models.TextChoices):
        TECHNICIAN = "technician", _("Technician")
        OWNER = "owner", _("Owner")

    role = models.CharField(_("role"), max_length=12, choices=Role, default=Role.TECHNICIAN)

    class Meta:
        verbose_name = _("member of staff")
        verbose_name_plural = _("staff")

    @property
    def is_owner(self) -> bool:
        return self.role == self.Role.OWNER

    @property
    def called(self) -> str:
        return self.get_full_name() or self.username
