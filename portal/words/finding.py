"""Every word of the sources that can be translated, and the `.po` files brought up to date with them.

jobs keeps its own words, notifications its own and those of templates/letters, portal its own and those of every other template.
A word that several say stands once, with the lowest of them, so that it cannot be translated in two ways.
"""

import ast
import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from babel.messages import Catalog, Message
from babel.messages.extract import DEFAULT_KEYWORDS, extract
from babel.messages.pofile import write_po
from django.utils.translation.template import templatize

from portal.words.files import FOR_CUSTOMERS, ROOMS, po_file, read, words_of

LETTERS = "templates/letters"
FOLDERS = {"jobs": ("jobs",), "notifications": ("notifications", LETTERS), "portal": ("portal", "templates")}
KEYWORDS = DEFAULT_KEYWORDS | {
    "gettext_lazy": None,
    "gettext_noop": None,
    "ngettext_lazy": (1, 2),
    "pgettext_lazy": ((1, "c"), 2),
    "npgettext_lazy": ((1, "c"), 2, 3),
}
# What only staff and the owner read: bench, office, editor, log-in, admin, letters to the workshop. They are offered
# British English alone, so these may stay untranslated. tests/portal/test_language.py finds what is listed here wrongly.
FOR_STAFF = (
    "jobs/actions/arriving.py",
    "jobs/actions/chase_plans.py",
    "jobs/actions/explaining.py",
    "jobs/actions/finding.py",
    "jobs/actions/house.py",
    "jobs/actions/judging.py",
    "jobs/actions/paying.py",
    "jobs/actions/promising.py",
    "jobs/actions/quote",
    "jobs/actions/tables.py",
    "jobs/actions/trying.py",
    "jobs/actions/working.py",
    "jobs/comebacks.py",
    "jobs/learning.py",
    "jobs/library/errors.py",
    "jobs/models/",
    "notifications/channels/",
    "notifications/chasing/nudging.py",
    "notifications/chasing/pausing.py",
    "notifications/deliver.py",
    "notifications/letters.py",
    "notifications/models/",
    "notifications/own_words.py",
    "notifications/plan.py",
    "notifications/reasons.py",
    "notifications/remedies.py",
    "notifications/replies/finding_home.py",
    "notifications/replies/keeping.py",
    "notifications/replies/proving.py",
    "notifications/replies/reply_box.py",
    "notifications/replies/robots.py",
    "notifications/replies/taking.py",
    "notifications/returned.py",
    "notifications/ways.py",
    "notifications/writing.py",
    "portal/admin.py",
    "portal/bench/",
    "portal/checks.py",
    "portal/door/first_run.py",
    "portal/door/letterbox",
    "portal/door/staff.py",
    "portal/office/",
    "portal/writing/",
    "templates/bench/",
    "templates/door/first_run",
    "templates/door/letterbox",
    "templates/door/login.html",
    "templates/door/password.html",
    "templates/errors/owner_only.html",
    "templates/letters/parts/call.txt",
    "templates/letters/staff",
    "templates/office/",
    "templates/parts/storage.html",
    "templates/parts/tongue.html",
    "templates/staff.html",
    "templates/writing/",
)
# "Translators: the customer reads this" above a text of a file for staff marks what staff write down for a customer.
THEY_READ_IT = "the customer reads this"
KEPT_HEADERS = ("Language:", "Plural-Forms:", "MIME-Version:", "Content-Type:", "Content-Transfer-Encoding:")


def found(root: Path) -> dict[str, Catalog]:
    """Every word of the sources under `root`: an empty catalogue for each room."""
    catalogues: dict[str, Catalog] = {}
    for room in ROOMS:
        catalogue = catalogues[room] = Catalog(charset="utf-8", fuzzy=False)
        for path in _sources(root, room):
            for _line, words, comments, context in _words(path):
                msgid = words if isinstance(words, str) else words[:2]
                owner = next((c for c in catalogues.values() if c.get(msgid, context)), catalogue)
                place = path.relative_to(root).as_posix()
                owner.add(msgid, None, [(place, 0)], auto_comments=comments, context=context)
    for catalogue in catalogues.values():
        for message in words_of(catalogue):
            message.locations = sorted(set(message.locations))
            if THEY_READ_IT in message.auto_comments or not all(
                place.startswith(FOR_STAFF) for place, _line in message.locations
            ):
                message.auto_comments.insert(0, FOR_CUSTOMERS)
    return catalogues


def renewed(root: Path, tongue: str) -> dict[Path, str]:
    """What the `.po` files of `tongue` should hold: every word of the sources, with what is translated already."""
    texts = {}
    kept = {room: read(po_file(root, room, tongue), tongue) for room in ROOMS}
    for room, fresh in found(root).items():
        path = po_file(root, room, tongue)
        for message in words_of(fresh):
            # Its own file first; a text that another room now says too has moved here with its translation.
            known = next(filter(None, (_known(each, message) for each in (kept[room], *kept.values()))), None)
            if known:
                message.string, message.user_comments = known.string, known.user_comments
        fresh.locale = tongue
        texts[path] = _as_text(fresh)
    return texts


def _known(kept: Catalog, message: Message) -> Message | None:
    """The translation of the same word, if it has as many forms as the word now has."""
    known = kept.get(message.id, message.context)
    return known if known and known.pluralizable == message.pluralizable else None


def _as_text(catalogue: Catalog) -> str:
    """A `.po` file without dates, names and line numbers, so that only changed words change it."""
    held = io.BytesIO()
    catalogue.header_comment = "# Renewed by `make words`; only the msgstr lines are written by hand."
    write_po(held, catalogue, width=110, sort_by_file=True, include_lineno=False, ignore_obsolete=True)
    head, blank, rest = held.getvalue().decode().partition("\n\n")
    lines = [
        line for line in head.splitlines() if not line.startswith('"') or line[1:].startswith(KEPT_HEADERS)
    ]
    return "\n".join(lines) + blank + rest.rstrip("\n") + "\n"


def _sources(root: Path, room: str) -> Iterator[Path]:
    for folder in FOLDERS[room]:
        for path in sorted((root / folder).rglob("*")):
            place = path.relative_to(root).as_posix()
            letter_of_another = room == "portal" and place.startswith(LETTERS)
            if (
                path.suffix in (".py", ".html", ".txt")
                and not letter_of_another
                and "/migrations/" not in place
            ):
                yield path


def _words(path: Path) -> Iterator[tuple[int, str | tuple[str, ...], list[str], str | None]]:
    source, keywords = path.read_text(), KEYWORDS
    if path.suffix == ".py":
        keywords = KEYWORDS | _nicknames(source)
    elif "{%" in source or "{{" in source:
        # Django's own reading of a template as Python; lines begin at the margin, because Python minds where they begin.
        source = "\n".join(line.lstrip() for line in templatize(source, origin=path.name).splitlines())
    else:
        return
    yield from extract(
        "python", io.BytesIO(source.encode()), keywords, ("Translators:",), strip_comment_tags=True
    )


def _nicknames(source: str) -> dict[str, Any]:
    """What a file calls Django's functions: `from django.utils.translation import gettext_lazy as _lazy`."""
    return {
        name.asname: KEYWORDS[name.name]
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.ImportFrom) and node.module == "django.utils.translation"
        for name in node.names
        if name.asname and name.name in KEYWORDS
    }
