from django.apps import AppConfig


class NotificationsConfig(AppConfig):
    """Reads the journal, writes letters, delivers them, nudges. Knows no pages."""

    name = "notifications"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from jobs import journal
        from notifications.waking import wake_relay

        if wake_relay not in journal.wakers:
            journal.wakers.append(wake_relay)
