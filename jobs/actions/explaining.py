"""The workshop's own versions of explanations: kept as drafts, put in use, taken back. Each adds a row; none is ever changed.

Whoever saves says on which version they built (`base`, 0 for none). Somebody else's in between is never written over.
"""

import re

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _

from jobs import collection
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.library import write
from jobs.models import Customer, ExplanationVersion, Finding

State = ExplanationVersion.State
LONGEST = 60000
LONGEST_NOTICE = 200


class SavedInBetween(Refused):
    """Somebody saved after the base was read. `newest` is theirs."""

    def __init__(self, newest: ExplanationVersion | None) -> None:
        who = newest.by if newest else ""
        super().__init__(
            _("%(who)s saved a version while you were writing. Yours is still here and not saved yet.")
            % {"who": who or _("Somebody")}
        )
        self.newest = newest


def save_draft(key: str, text: str, base: int, by: Actor, note: str = "") -> ExplanationVersion:
    """Keep a text for later, finished or not. The library goes on as it was. Raises SavedInBetween."""
    return _add(key, text, State.DRAFT, base, by, note)


def put_in_use(key: str, text: str, base: int, by: Actor, note: str = "") -> ExplanationVersion:
    """From now on the library says this. What customers were shown stays as it was. Raises Refused and SavedInBetween."""
    if found := collection.problems(key, text):
        raise Refused(_("This cannot be put in use yet: %(what)s.") % {"what": found[0].message.rstrip(".")})
    return _add(key, text, State.IN_USE, base, by, note)


def back_to_shipped(key: str, base: int, by: Actor, note: str = "") -> ExplanationVersion:
    """Use the shipped text again; an entry of our own is offered no more. Raises Refused when no version of ours is in use."""
    if not collection.in_use().filter(key=key).exists():
        raise Refused(_("No version of ours is in use here."))
    return _add(key, collection.shipped_text(key), State.SHIPPED, base, by, note)


def begin(mechanism: str, title: str, by: Actor) -> str:
    """Begin an explanation that the house does not ship. Answers its key."""
    key = free_key(mechanism, title)
    save_draft(key, write.to_text({"title": title.strip()}, {}), 0, by)
    return key


def write_up(finding: Finding, by: Actor) -> str:
    """A draft explanation from a finding written by hand; answers its key. Twice for the same finding: the draft there is.

    Nothing that names the customer goes along. Raises Refused for a finding that has an explanation or was taken back.
    """
    if finding.explanation or finding.state == Finding.State.WITHDRAWN:
        raise Refused(_("Only a finding in our own words can be written up."))
    note = _("Written up from finding %(pk)s of %(ref)s") % {
        "pk": finding.pk,
        "ref": finding.job.shown_ref,
    }
    if before := ExplanationVersion.objects.filter(n=1, note=note).first():
        return before.key
    customer = finding.job.customer
    title = nameless(finding.title, customer)
    key = free_key(finding.mechanism, title)
    save_draft(key, _first_text(finding, title, customer), 0, by, note)
    return key


def free_key(mechanism: str, title: str) -> str:
    """A key for this title that neither the house nor the workshop has: "lens/dust", else "lens/dust-2", ..."""
    slug = slugify(title)[:50].strip("-")
    slug = slug if slug[:1].isalpha() else f"entry-{slug}".rstrip("-")
    taken = {*ExplanationVersion.objects.values_list("key", flat=True).distinct()}
    names = (f"{mechanism}/{slug}{end}" for end in ("", *(f"-{n}" for n in range(2, len(taken) + 3))))
    return next(key for key in names if key not in taken and not collection.is_shipped(key))


def nameless(text: str, customer: Customer) -> str:
    """The text with a gap for whatever tells who the customer is: their names, addresses of mail, telephone numbers."""
    names = {customer.name, *customer.name.split(), *re.findall(r"\w+", customer.name)}
    longest_first = sorted((name for name in names if len(name) > 1), key=len, reverse=True)
    parts = [rf"\b{re.escape(name)}\b" for name in longest_first]
    private = "|".join([r"\S+@\S+", r"\+?\d[\d ()-]{7,}\d", *parts])
    return re.sub(private, "…", text)


def _first_text(finding: Finding, title: str, customer: Customer) -> str:
    front = {
        "title": title,
        "notice": _noticed(nameless(finding.job.story, customer)),
        "certainty": finding.certainty,
        "bearing": finding.bearing,
        "effect": finding.effect,
    }
    # "(1)" pointed to a photograph of that camera, which does not come along.
    told = re.sub(r"\s*\(\d\)", "", nameless(finding.text, customer))
    return write.to_text(front, {"happening": told})


def _noticed(story: str) -> list[str]:
    """The story as one line, cut where a word ends."""
    line = " ".join(story.split())
    if len(line) > LONGEST_NOTICE:
        line = line[:LONGEST_NOTICE].rpartition(" ")[0] + " …"
    return [line] if line else []


def _add(key: str, text: str, state: str, base: int, by: Actor, note: str) -> ExplanationVersion:
    if len(text) > LONGEST:
        raise Refused(_("This is too long for one explanation."))
    try:
        with transaction.atomic():
            newest = collection.latest(key)
            if (newest.n if newest else 0) != base:
                raise SavedInBetween(newest)
            return ExplanationVersion.objects.create(
                key=key,
                n=base + 1,
                text=text,
                state=state,
                by=by.name,
                at=timezone.now(),
                note=note.strip()[:400],
            )
    except IntegrityError as clash:  # both looked before either wrote
        raise SavedInBetween(collection.latest(key)) from clash
