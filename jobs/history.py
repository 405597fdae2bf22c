"""What was said to a customer at one time and is only in the journal: read back as it was."""

from jobs.aftercare import Aftercare
from jobs.models import Job, Kind


def aftercare_of(job: Job) -> Aftercare:
    """What went home with the item when it last left mended; nothing while it is here, or goes back as it was."""
    if job.stage != "returned":
        return Aftercare()
    sent = job.entries.filter(kind=Kind.SENT_BACK).order_by("-seq").first()
    kept = sent.data.get("aftercare") if sent else None
    return Aftercare.from_dict(kept) if kept else Aftercare()
