"""Findings: kept for later, posted, corrected in the open, withdrawn with a reason. Never silently changed."""

from dataclasses import asdict, dataclass, field
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import collection, journal, stages
from jobs.actions.moving import changing, require
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.canonical import canonical, digest
from jobs.library import BadFact, MissingFact
from jobs.models import Finding, Job, Kind, Wording


@dataclass(frozen=True)
class Draft:
    """What the technician says. `explanation` is a key of the library or "", `facts` fill it."""

    mechanism: str
    certainty: str
    bearing: str
    effect: str
    title: str
    text: str = ""
    explanation: str = ""
    facts: dict[str, Any] = field(default_factory=dict)


def keep(job: Job, draft: Draft, finding: Finding | None = None) -> Finding:
    """Keep a finding for later: new, or written over one that is not posted yet. Nobody but staff sees it.

    A new one that says word for word what a draft or posted one of the job says is that one: a form sent twice is one finding.
    """
    with changing(job) as fresh:
        require(fresh, stages.MAY_POST_FINDINGS)
        if finding is None:
            if twin := _twin(fresh, draft):
                return twin
            finding = Finding(job=fresh)
        else:
            # Looked at again inside the lock: it may have been posted since the form was opened.
            finding.refresh_from_db()
        if finding.state == Finding.State.POSTED and _says(finding, draft):
            return finding
        if finding.state != Finding.State.DRAFT:
            raise Refused(_("This finding is posted. Correct it instead, so that the change shows."))
        _fill(finding, draft)
        finding.save()
        return finding


def post(finding: Finding, by: Actor) -> Finding:
    """Show a finding to the customer. Raises Refused when its explanation still lacks a fact."""
    with changing(finding.job) as job:
        require(job, stages.MAY_POST_FINDINGS)
        # Looked at again inside the lock: two taps post once.
        finding.refresh_from_db()
        if finding.state != Finding.State.DRAFT:
            raise Refused(_("This finding is posted already."))
        finding.shown = shown(finding.explanation, finding.facts)
        finding.state, finding.posted_at = Finding.State.POSTED, timezone.now()
        finding.save()
        wording = _word(finding, by)
        journal.append(job, Kind.FINDING_POSTED, by, _told(finding, wording))
        return finding


def correct(finding: Finding, draft: Draft, because: str, by: Actor) -> Finding:
    """Change a posted finding in the open: the customer sees what it says now, what it said before, and why.

    Does nothing when it says so already.
    """
    with changing(finding.job) as job:
        finding.refresh_from_db()
        if finding.state != Finding.State.POSTED:
            raise Refused(_("Only a posted finding can be corrected."))
        if _says(finding, draft):
            return finding
        if not because.strip():
            raise Refused(_("Say why it changes. The customer reads this."), "because")
        _fill(finding, draft)
        finding.shown = shown(finding.explanation, finding.facts)
        finding.save()
        wording = _word(finding, by, because)
        journal.append(job, Kind.FINDING_CORRECTED, by, {**_told(finding, wording), "because": because})
        return finding


def withdraw_finding(finding: Finding, because: str, by: Actor) -> Finding:
    """Take a posted finding back. It stays on the page, struck through, with the reason."""
    if not because.strip():
        raise Refused(_("Say why it is taken back. The customer reads this."), "because")
    with changing(finding.job) as job:
        finding.refresh_from_db()
        if finding.state != Finding.State.POSTED:
            raise Refused(_("Only a posted finding can be taken back."))
        finding.state, finding.withdrawn_because = Finding.State.WITHDRAWN, because
        finding.save()
        journal.append(
            job,
            Kind.FINDING_WITHDRAWN,
            by,
            {"finding": finding.pk, "title": finding.title, "because": because},
        )
        return finding


def drop(finding: Finding) -> None:
    """Throw away a finding that was never posted. Its photographs stay with the job."""
    with changing(finding.job):
        finding.refresh_from_db()
        if finding.state != Finding.State.DRAFT:
            raise Refused(_("This finding is posted. Take it back with a reason instead."))
        finding.delete()


def answer_story(job: Job, answer: str, by: Actor) -> None:
    """Answer the customer's own question, in a sentence or two; it stands above the findings."""
    if not answer.strip():
        raise Refused(_("Write the answer in a sentence or two."), "answer")
    with changing(job) as fresh:
        require(fresh, stages.MAY_POST_FINDINGS)
        if fresh.story_answer == answer.strip():
            return  # said already: one letter is enough
        fresh.story_answer = answer.strip()
        fresh.save(update_fields=["story_answer"])
        journal.append(fresh, Kind.STORY_ANSWERED, by, {"answer": fresh.story_answer})


def shown(explanation: str, facts: dict[str, Any]) -> dict[str, Any]:
    """The filled explanation as the customer will read it, or {} without one. Raises Refused naming the fact that is wrong."""
    if not explanation:
        return {}
    try:
        return collection.get(explanation).fill(facts).as_dict()
    except MissingFact as missing:
        raise Refused(_("This explanation also needs: %(what)s.") % {"what": missing}, "facts") from missing
    except BadFact as bad:
        raise Refused(str(bad), "facts") from bad
    except KeyError as gone:
        raise Refused(_("The library has no such explanation."), "explanation") from gone


def _says(finding: Finding, draft: Draft) -> bool:
    return all(getattr(finding, name) == value for name, value in vars(draft).items())


def _twin(job: Job, draft: Draft) -> Finding | None:
    same = job.findings.exclude(state=Finding.State.WITHDRAWN).filter(title=draft.title)
    return next((finding for finding in same if _says(finding, draft)), None)


def _fill(finding: Finding, draft: Draft) -> None:
    if not draft.title.strip():
        raise Refused(_("Give the finding a title. The customer reads it first."), "title")
    for name, value in vars(draft).items():
        setattr(finding, name, value)


def _word(finding: Finding, by: Actor, because: str = "") -> Wording:
    """Keep what is said from now on, word for word."""
    content = asdict(Draft(**{name: getattr(finding, name) for name in Draft.__dataclass_fields__})) | {
        "shown": finding.shown
    }
    return Wording.objects.create(
        finding=finding,
        n=finding.wordings.count() + 1,
        at=timezone.now(),
        by=by.name,
        because=because,
        content=content,
        digest=digest(canonical(content)),
    )


def _told(finding: Finding, wording: Wording) -> dict[str, Any]:
    return {
        "finding": finding.pk,
        "title": finding.title,
        "certainty": finding.certainty,
        "wording": wording.n,
        "digest": wording.digest,
    }
