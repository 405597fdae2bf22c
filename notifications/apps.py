from django.apps import AppConfig


class NotificationsConfig(AppConfig):
    """Reads the journal, writes letters, delivers them, nudges. Knows no pages."""

    name = "notifications"
    default_auto_field = "django.db.models.BigAutoField"
