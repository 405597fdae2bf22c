"""What every document about a job begins with, and what its file may be called."""

from datetime import datetime
from typing import Any

from jobs.models import Job, Workshop

HOUSE = ("name", "place", "address", "telephone", "email")


def letterhead(job: Job, made_at: datetime) -> dict[str, Any]:
    """Who writes to whom, about what, and when."""
    house = Workshop.objects.current()
    return {
        "house": {name: getattr(house, name, "") for name in HOUSE},
        "customer": {"name": job.customer.name, "address": job.customer.address},
        "ref": job.shown_ref,
        "made_at": made_at.isoformat(timespec="seconds"),
    }


def house_name() -> str:
    house = Workshop.objects.current()
    return house.name if house else ""


def pdf_name(words: str) -> str:
    """`words` and .pdf, without signs that a file's name or a header cannot have."""
    plain = "".join(sign for sign in words if sign.isprintable() and sign not in '/\\:*?"<>|')
    return " ".join(plain.split()) + ".pdf"
