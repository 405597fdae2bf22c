from django.db import models


class Pulse(models.Model):
    """When a queue last carried a message all the way: beat, broker, worker, this row.

    A worker can be alive and connected and still consume nothing; only a message that arrives proves the road.
    """

    queue = models.CharField(max_length=20, primary_key=True)
    felt_at = models.DateTimeField()

    class Meta:
        verbose_name = "pulse"

    def __str__(self) -> str:
        return f"{self.queue} at {self.felt_at:%H:%M:%S}"


class RateBucket(models.Model):
    """How often one key knocked in one window. Written by `portal.limits` alone, and swept there when the window is over."""

    key_hash = models.CharField(
        max_length=64
    )  # keyed hash of an address or a contact, never the thing itself
    window = models.BigIntegerField(db_index=True)  # Unix time at which the window ends
    count = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["key_hash", "window"], name="rate_bucket_one_per_window")
        ]

    def __str__(self) -> str:
        return f"{self.count} until {self.window}"
