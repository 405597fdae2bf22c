from django.apps import AppConfig


class PortalConfig(AppConfig):
    """The pages, the staff's door, and what keeps the processes honest (checks, pulse, letterbox)."""

    name = "portal"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from portal import checks  # noqa: F401  (registers the system checks)
