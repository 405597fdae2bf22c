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

        # The interface of django-anymail: it tells what a provider's webhook brought by a signal.
        from anymail import signals

        from notifications import providers

        signals.tracking.connect(providers.take_news, dispatch_uid="notifications.news")
        signals.inbound.connect(providers.take_reply, dispatch_uid="notifications.replies")
