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
