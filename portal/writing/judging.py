"""Saying beside the right field what is wrong with an explanation, in plain words: the schema first, then the library's check."""

import re
from collections.abc import Mapping
from typing import Any

from django.forms import Form
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from pydantic import ValidationError

from jobs import collection
from jobs.library import LibraryError, Problem, load, shared
from jobs.library.explanation import NEEDED, Explanation
from jobs.library.parse import line_of
from jobs.library.schema import Front
from portal.writing.sheet import LINES, Question, Sheet

Loc = tuple[int | str, ...]
KINDS = {"choice", "integer", "decimal", "text"}
_MISSING_CAUTION = re.compile(r"(?:name|cautions must name) '([a-z0-9-]+)'")


def judge(sheet: Sheet) -> bool:
    """Whether it could be put in use. If not, the fields say why."""
    _by_schema(sheet)
    for key in NEEDED:
        if key not in sheet.parts():
            sheet.form.add_error(key, _("This part is needed."))
    if not sheet.problems:
        _by_check(sheet)
    return not sheet.problems


def _by_schema(sheet: Sheet) -> None:
    try:
        Front.model_validate(sheet.front())
    except ValidationError as wrong:
        for error in wrong.errors(include_url=False):
            _put(sheet, _sharper(error), _which_line(error["loc"]) + in_words(error))


def _sharper(error: Mapping[str, Any]) -> Loc:
    """Where the error is. One about a whole question names the field that it is about: "low must be below high"."""
    loc: Loc = error["loc"]
    about = str(error["msg"]).removeprefix("Value error, ").split()[0]
    whole = error["type"] == "value_error" and loc[:1] == ("fields",) and len(loc) == 3
    return (*loc, about) if whole else loc


def _by_check(sheet: Sheet) -> None:
    text = sheet.text()
    try:
        entry = load.from_text(sheet.key, text)
    except LibraryError as wrong:
        sheet.general += [sentence(problem) for problem in wrong.problems]
        return
    places = _places(entry)
    for problem in collection.problems(sheet.key, text):
        at = max((line for line in places if line <= problem.line), default=0)
        _put(sheet, places.get(at, ()), sentence(problem))


def _put(sheet: Sheet, loc: Loc, told: str) -> None:
    form, name = place(sheet, loc)
    if not form:
        sheet.general.append(told)
    elif told not in form.errors.get(name, []):
        form.add_error(name, told)


def place(sheet: Sheet, loc: Loc) -> tuple[Form | None, str]:
    """The form and the name of the field that stand for a place in the file; (None, "") for the whole."""
    first, rest = (str(loc[0]), loc[1:]) if loc else ("", ())
    if first == "fields" and rest:
        return _in_question(sheet.asked()[int(rest[0])], [part for part in rest[1:] if part not in KINDS])
    if first == "outcomes" and rest:
        row = sheet.turns()[int(rest[0])]
        return row, "weight" if "weight" in rest else "text"
    name = _name(first, [str(part) for part in rest])
    return (sheet.form, name) if name in sheet.form.fields else (None, "")


def _in_question(question: Question, rest: list[int | str]) -> tuple[Form, str]:
    if len(rest) > 1 and rest[0] == "options":
        row = question.told()[int(rest[1])]
        return row, str(rest[2]) if len(rest) > 2 else "text"
    name = str(rest[0]) if rest else "kind"
    return question.form, name if name in question.form.fields else "kind"


def _name(first: str, rest: list[str]) -> str:
    if first == "minutes":
        return f"minutes_{rest[0]}" if rest else "minutes_likely"
    if first == "check":
        return f"check_{rest[0]}" if rest else "check_ask"
    if first == "drawing":
        inner = {"params": "param_" + rest[1] if len(rest) > 1 else "drawing", "legend": "legend"}
        return inner.get(rest[0], "drawing") if rest else "drawing"
    return first


def _places(entry: Explanation) -> dict[int, Loc]:
    """What of the page each line of the text belongs to, from that line on."""
    front = entry.front.model_dump(exclude_none=True)
    locs: list[Loc] = [(name,) for name in front if name not in ("fields", "outcomes")]
    locs += [(name, n) for name in ("fields", "outcomes") for n in range(len(front[name]))]
    locs += [("check", name) for name in front.get("check", {})]
    lines: dict[int, Loc] = {2 + line_of(entry.front_text, loc): loc for loc in locs}
    return lines | {written.line: (key,) for key, written in entry.written.items()}


def _which_line(loc: Loc) -> str:
    """ "Line 3: " where a box holds several and one of them is wrong."""
    boxes = {(name,) for name in LINES} | {("check", "steps"), ("drawing", "legend")}
    if loc[:-1] in boxes and isinstance(loc[-1], int):
        return _("Line %(n)s: ") % {"n": loc[-1] + 1}
    return ""


def in_words(error: Mapping[str, Any]) -> str:
    """A schema's complaint as a sentence for the person who typed."""
    kind, about = str(error["type"]), error.get("ctx", {})
    if kind == "missing":
        return _("This is needed.")
    if kind == "extra_forbidden":
        return _("This does not belong to this kind of answer. Empty it.")
    if kind == "value_error":
        return _finished(str(error["msg"]).removeprefix("Value error, "))
    if kind in ("string_too_short", "string_too_long"):
        return _length(kind, about)
    if kind in ("too_short", "too_long"):
        return _count(kind, about)
    if kind in ("greater_than_equal", "less_than_equal"):
        return _limit(kind, about)
    if kind == "string_pattern_mismatch":
        return _by_pattern(str(about.get("pattern", "")))
    if kind.startswith(("int", "decimal", "is_instance")) or "number" in str(error["msg"]):
        return _("Give a number in figures.")
    if kind in ("literal_error", "union_tag_invalid", "union_tag_not_found"):
        return _("Choose one of these.")
    return _finished(str(error["msg"]))


def _by_pattern(pattern: str) -> str:
    if "a-z" in pattern:
        return _("Only small letters, figures and _ , beginning with a letter.")
    return _("One line of text.")


def _length(kind: str, about: Mapping[str, Any]) -> str:
    if kind == "string_too_short":
        least = about["min_length"]
        return ngettext("At least one letter.", "At least %(n)s letters.", least) % {"n": least}
    return _("No more than %(n)s letters.") % {"n": about["max_length"]}


def _count(kind: str, about: Mapping[str, Any]) -> str:
    if kind == "too_short":
        least = about["min_length"]
        return ngettext("At least one.", "At least %(n)s.", least) % {"n": least}
    return _("No more than %(n)s.") % {"n": about["max_length"]}


def _limit(kind: str, about: Mapping[str, Any]) -> str:
    if kind == "greater_than_equal":
        return _("No less than %(n)s.") % {"n": about["ge"]}
    return _("No more than %(n)s.") % {"n": about["le"]}


def sentence(problem: Problem) -> str:
    """The check's remark as a sentence, with a caution called by its title."""
    if found := _MISSING_CAUTION.search(problem.message):
        caution = shared.cautions().get(found.group(1))
        if caution:
            return _("This needs a caution. Tick “%(title)s” under Take care.") % {"title": caution.title}
    return _finished(problem.message.removeprefix("bench_words: "))


def _finished(message: str) -> str:
    told = message[:1].upper() + message[1:]
    return told if told.endswith((".", "?")) else f"{told}."
