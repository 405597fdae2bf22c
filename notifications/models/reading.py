from django.db import models
from django.utils import timezone


class Read(models.Model):
    """The relay has dealt with this entry of the journal.

    A row for each, not a high-water mark: on PostgreSQL an entry with a lower number may be committed after one with a higher.
    """

    entry = models.OneToOneField(
        "jobs.Entry", on_delete=models.CASCADE, primary_key=True, related_name="read"
    )
    at = models.DateTimeField(default=timezone.now, db_index=True)

    def __str__(self) -> str:
        return f"{self.entry_id}"


class Floor(models.Model):
    """Everything up to this entry has been read long ago: one row, so that looking for unread entries stays cheap."""

    up_to = models.BigIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.up_to}"
