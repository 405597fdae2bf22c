"""The nouns of the trade, one file each. Rows are written by `jobs.actions` only."""

from jobs.models.arrival import Arrival
from jobs.models.customer import Customer
from jobs.models.decision import Choice, Decision, Trace
from jobs.models.enquiry import Enquiry
from jobs.models.entry import Entry, Kind
from jobs.models.finding import Finding, Wording
from jobs.models.item import Item
from jobs.models.job import Job
from jobs.models.link import Opening, PrivateLink
from jobs.models.paper import Code, Paper
from jobs.models.part import AwaitedPart
from jobs.models.payment import Payment, Released
from jobs.models.photo import Mark, Photo
from jobs.models.proof import Proof, ShutterTime
from jobs.models.question import Question
from jobs.models.quote import FinalPrice, Line, Outcome, Quote, Tried
from jobs.models.settled import SettledAtHome
from jobs.models.staff import Staff
from jobs.models.version import ExplanationVersion
from jobs.models.warranty import Cover, Judged, Warranty
from jobs.models.workshop import NudgeStep, TaxRate, WarrantyTerm, Workshop

__all__ = [
    "Arrival",
    "AwaitedPart",
    "Choice",
    "Code",
    "Cover",
    "Customer",
    "Decision",
    "Enquiry",
    "Entry",
    "ExplanationVersion",
    "FinalPrice",
    "Finding",
    "Item",
    "Job",
    "Judged",
    "Kind",
    "Line",
    "Mark",
    "NudgeStep",
    "Opening",
    "Outcome",
    "Paper",
    "Payment",
    "Photo",
    "PrivateLink",
    "Proof",
    "Question",
    "Quote",
    "Released",
    "SettledAtHome",
    "ShutterTime",
    "Staff",
    "TaxRate",
    "Trace",
    "Tried",
    "Warranty",
    "WarrantyTerm",
    "Wording",
    "Workshop",
]
