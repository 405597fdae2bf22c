from django.apps import AppConfig


class JobsConfig(AppConfig):
    """The trade: items, jobs, findings, quotes, warranties and the journal. Knows no HTTP and sends nothing."""

    name = "jobs"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from django.db.models.signals import post_migrate

        from jobs.triggers import guard_evidence

        # Not control flow: SQLite rebuilds a table on ALTER and forgets its triggers, so they are laid again here.
        post_migrate.connect(guard_evidence, sender=self)
