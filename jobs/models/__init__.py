"""The nouns of the trade, one file each. Rows are written by `jobs.actions` only."""

from jobs.models.arrival import Arrival
from jobs.models.customer import Customer
from jobs.models.entry import Entry, Kind
from jobs.models.finding import Finding, Wording
from jobs.models.item import Item
from jobs.models.job import Job
from jobs.models.link import Opening, PrivateLink
from jobs.models.part import AwaitedPart
from jobs.models.photo import Mark, Photo
from jobs.models.proof import Proof, ShutterTime
from jobs.models.question import Question
from jobs.models.quote import Choice, Decision, Line, Quote, Trace
from jobs.models.settled import SettledAtHome
from jobs.models.staff import Staff
from jobs.models.version import ExplanationVersion
from jobs.models.warranty import Cover, Warranty
from jobs.models.workshop import Workshop

__all__ = [
    "Arrival",
    "AwaitedPart",
    "Choice",
    "Cover",
    "Customer",
    "Decision",
    "Entry",
    "ExplanationVersion",
    "Finding",
    "Item",
    "Job",
    "Kind",
    "Line",
    "Mark",
    "Opening",
    "Photo",
    "PrivateLink",
    "Proof",
    "Question",
    "Quote",
    "ShutterTime",
    "SettledAtHome",
    "Staff",
    "Trace",
    "Warranty",
    "Wording",
    "Workshop",
]
