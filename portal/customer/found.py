"""Findings as the customer reads them: worst first, with their photographs, and every correction in the open."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from jobs.library.shared import Word
from jobs.models import Entry, Finding, Job, Kind, Photo, Wording
from jobs.models.finding import EFFECT_ORDER
from jobs.words import Certainty
from portal.customer import photos
from portal.customer.offer import Offer
from portal.drawing.pictures import Picture


@dataclass(frozen=True)
class Correction:
    """On this day and for this reason the words changed; `before` is what they said until then."""

    at: datetime
    because: str
    before: dict[str, Any]


@dataclass(frozen=True)
class Found:
    finding: Finding
    pictures: list[Picture] = field(default_factory=list)
    corrections: list[Correction] = field(default_factory=list)  # newest first
    ask: str = ""
    explained_at: str = ""
    tried: str = ""  # what came out when a line that answers it was tried
    key: str = ""  # of this wording: what is opened stays open until the words change

    @property
    def is_withdrawn(self) -> bool:
        return self.finding.state == Finding.State.WITHDRAWN


def read(job: Job, shown: Iterable[Photo], may_ask: bool) -> list[Found]:
    """All that was posted, in one query: every posted finding has at least one wording. `shown` are the job's ready photographs."""
    told = Wording.objects.filter(finding__job=job).exclude(finding__state=Finding.State.DRAFT)
    wordings: dict[Finding, list[Wording]] = defaultdict(list)
    for wording in told.select_related("finding").order_by("finding_id", "n"):
        wordings[wording.finding].append(wording)
    pictures: dict[int | None, list[Photo]] = defaultdict(list)
    for photo in shown:
        pictures[photo.finding_id].append(photo)
    found = [_found(job, finding, each, pictures[finding.pk], may_ask) for finding, each in wordings.items()]
    return sorted(found, key=_worst_first)


def with_tries(found: Iterable[Found], offers: Iterable[Offer], entries: Iterable[Entry]) -> list[Found]:
    """What is not known until tried says what came out, once it was. The evidence names a line's findings by their titles."""
    came_out: dict[int, str] = {}
    for entry in entries:
        if entry.kind == Kind.TRIED:
            day = date_format(timezone.localtime(entry.at), _("j F"))
            told = {"day": day, "came_out": entry.data["came_out"]}
            came_out[entry.data["line"]] = _("We tried it on %(day)s: %(came_out)s") % told
        elif entry.kind == Kind.TRY_UNDONE:
            came_out.pop(entry.data["line"], None)
    said = {
        finding["title"]: came_out[line["id"]]
        for offer in offers
        for line in offer.agreed
        if line["id"] in came_out
        for finding in line.get("findings", ())
    }
    return [replace(each, tried=_untried(each, said)) for each in found]


def _untried(each: Found, said: Mapping[str, str]) -> str:
    return said.get(each.finding.title, "") if each.finding.certainty == Certainty.UNTRIED else ""


def words_met(found: Iterable[Found]) -> list[Word]:
    """The glossary of the page: every word that one of its explanations links to, once, in alphabetical order."""
    told = [
        word for each in found if not each.is_withdrawn for word in each.finding.shown.get("glossary", [])
    ]
    words = {word["key"]: Word(**word) for word in told}
    return sorted(words.values(), key=lambda word: word.word.lower())


def _found(job: Job, finding: Finding, wordings: list[Wording], shown: list[Photo], may_ask: bool) -> Found:
    ask = f"{reverse('my_questions', args=[job.shown_ref])}?about=finding-{finding.pk}" if may_ask else ""
    return Found(
        finding=finding,
        pictures=[photos.picture_of(job, photo, finding.certainty, finding.title) for photo in shown],
        corrections=_corrections(wordings),
        ask=ask,
        explained_at=reverse("my_explained", args=[job.shown_ref, finding.pk]) if finding.shown else "",
        key=f"{finding.pk}-{len(wordings)}",
    )


def _corrections(wordings: list[Wording]) -> list[Correction]:
    pairs = zip(wordings[1:], wordings, strict=False)
    return [Correction(after.at, after.because, before.content) for after, before in pairs][::-1]


def _worst_first(each: Found) -> tuple[bool, int, int]:
    return each.is_withdrawn, EFFECT_ORDER.index(each.finding.effect), each.finding.pk
