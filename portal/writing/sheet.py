"""One explanation on the editor's page: from the text of a file into fields, and back."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from django import forms
from django.http import QueryDict

from jobs.library import write
from portal.writing.form import EntryForm, OptionForm, OutcomeForm, QuestionForm
from portal.writing.typed import is_filled, line, lines, name_from, number, rows, said

# Front matter that is one text, and that is lines of text.
ONE = ("title", "short", "certainty", "bearing", "effect", "habit")
LINES = ("notice", "bench_words", "sources")
TICKS = ("traits", "cautions")
# What only some kinds of answer have; the rest of a question's fields belong to all. An unknown kind keeps everything.
OF_KIND = {
    "choice": (),
    "integer": ("unit", "low", "high", "places"),
    "decimal": ("unit", "low", "high", "places"),
    "text": ("longest",),
}
NUMBERS = ("low", "high", "places", "longest")
TYPED = ("example", "default")


@dataclass
class Question:
    """A question with its answers. `n` is its place on the page."""

    n: int
    form: QuestionForm
    options: list[OptionForm]

    @property
    def rows(self) -> int:
        return len(self.options)

    @property
    def label(self) -> str:
        return said(self.form, "label")

    @property
    def is_choice(self) -> bool:
        return said(self.form, "kind") == "choice"

    @property
    def is_wrong(self) -> bool:
        return any(form.errors for form in (self.form, *self.options))

    def told(self) -> list[OptionForm]:
        return [row for row in self.options if is_filled(row)]


@dataclass
class Sheet:
    """The fields as they were sent. `base` is the number of the version that they were written on."""

    key: str
    base: int
    form: EntryForm
    outcomes: list[OutcomeForm]
    questions: list[Question]
    general: list[str] = field(default_factory=list)

    @property
    def every(self) -> list[forms.Form]:
        rows = [one for question in self.questions for one in (question.form, *question.options)]
        return [self.form, *self.outcomes, *rows]

    @property
    def problems(self) -> list[tuple[str, str, str]]:
        """(label, id of the field or "", sentence) for all there is to mend."""
        found = [("", "", sentence) for sentence in self.general]
        for form in self.every:
            found += [("", "", str(sentence)) for sentence in form.non_field_errors()]
            for bound in form:
                found += [(str(bound.label), bound.auto_id, str(sentence)) for sentence in bound.errors]
        return found

    @property
    def wrong(self) -> int:
        return len(self.problems)

    @property
    def main_parts(self) -> list[forms.BoundField]:
        return [self.form[key] for key in write.PARTS]

    def asked(self) -> list[Question]:
        """The questions that say anything, in order: the file's `fields`."""
        return [one for one in self.questions if is_filled(one.form) or one.told()]

    def turns(self) -> list[OutcomeForm]:
        """The outcomes that say anything, in order."""
        return [row for row in self.outcomes if is_filled(row, but=("key",))]

    def text(self) -> str:
        """The whole text of the file."""
        return write.to_text(self.front(), self.parts())

    def parts(self) -> dict[str, str]:
        return {key: value for key in write.PARTS if (value := said(self.form, key))}

    def front(self) -> dict[str, Any]:
        """The front matter as plain values. What is empty is left out, lists apart: their line must be there to point to."""
        form = self.form
        front: dict[str, Any] = {name: value for name in ONE if (value := line(form, name))}
        front |= {name: lines(said(form, name)) for name in LINES}
        front |= {name: form.cleaned_data.get(name, []) for name in TICKS}
        front["minutes"] = {
            name: number(value)
            for name in ("low", "likely", "high")
            if (value := said(form, f"minutes_{name}"))
        }
        front["fields"] = [_asked(question) for question in self.asked()]
        front["outcomes"] = _outcomes(self.turns())
        front |= {"drawing": _drawing(form)} if said(form, "drawing") else {}
        check = _check(form)
        return front | ({"check": check} if check else {})


def sent(key: str, data: QueryDict) -> Sheet:
    """The sheet as it was sent."""
    base = data.get("base", "")
    questions = [
        Question(n, form, rows(OptionForm, f"question-{n}-option", data))
        for n, form in enumerate(rows(QuestionForm, "question", data))
    ]
    sheet = Sheet(
        key,
        int(base) if base.isascii() and base.isdigit() and len(base) < 9 else 0,
        EntryForm(data),
        rows(OutcomeForm, "outcome", data),
        questions,
    )
    for form in sheet.every:
        form.is_valid()
    return sheet


def stored(key: str, base: int, text: str) -> Sheet:
    """The sheet of a text that `jobs.library.write.read` can read."""
    front, parts = write.read(text)
    return laid_out(key, base, front, parts)


def laid_out(
    key: str, base: int, front: Mapping[str, Any], parts: Mapping[str, str], note: str = ""
) -> Sheet:
    """The sheet of what a file says, with empty rows to go on with."""
    data = QueryDict(mutable=True)
    data["base"], data["note"] = str(base), note
    for name, value in _fields(front, parts):
        if isinstance(value, list):
            data.setlist(name, [str(one) for one in value])
        else:
            data[name] = str(value)
    return sent(key, data)


def again(sheet: Sheet) -> Sheet:
    """What was typed, with fresh empty rows, and the fields of the drawing that was chosen."""
    return laid_out(sheet.key, sheet.base, sheet.front(), sheet.parts(), said(sheet.form, "note"))


def _asked(question: Question) -> dict[str, Any]:
    kind = said(question.form, "kind")
    names = ("key", "label", "kind", *TYPED, *OF_KIND.get(kind, ("unit", *NUMBERS)))
    asked: dict[str, Any] = {name: value for name in names if (value := said(question.form, name))}
    figures = NUMBERS + (TYPED if kind in ("integer", "decimal") else ())
    asked |= {name: number(value) for name, value in asked.items() if name in figures}
    if options := _options(question.told()):
        asked["options"] = options
        called = {option.get("text"): option["value"] for option in options}
        asked |= {name: called.get(asked[name], asked[name]) for name in TYPED if name in asked}
    return asked


def _options(told: list[OptionForm]) -> list[dict[str, str]]:
    found: list[dict[str, str]] = []
    for row in told:
        option = {name: value for name in ("value", "text", "also", "draw") if (value := line(row, name))}
        option.setdefault("value", name_from(option.get("text", ""), [one["value"] for one in found]))
        found.append(option)
    return found


def _outcomes(told: list[OutcomeForm]) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = []
    for row in told:
        text = line(row, "text")
        outcome: dict[str, Any] = {"key": said(row, "key") or name_from(text, [one["key"] for one in found])}
        outcome |= {"text": text} if text else {}
        outcome |= {"weight": number(said(row, "weight"))} if said(row, "weight") else {}
        found.append(outcome)
    return found


def _drawing(form: EntryForm) -> dict[str, Any]:
    told = {param.key: said(form, f"param_{param.key}") for param in form.params}
    use = {
        "name": said(form, "drawing"),
        "params": {key: value for key, value in told.items() if value},
        "legend": lines(said(form, "legend")),
    }
    return {key: value for key, value in use.items() if value}


def _check(form: EntryForm) -> dict[str, Any]:
    told = {
        "ask": said(form, "check_ask"),
        "steps": lines(said(form, "check_steps")),
        "settled": said(form, "check_settled"),
    }
    return {name: value for name, value in told.items() if value}


def _fields(front: Mapping[str, Any], parts: Mapping[str, str]) -> list[tuple[str, Any]]:
    """(name of the field, value) for everything that the front matter and the parts say."""
    drawing, check = front.get("drawing", {}), front.get("check", {})
    found = [(name, front[name]) for name in (*ONE, *TICKS) if name in front]
    found += [(name, "\n".join(front.get(name, []))) for name in LINES]
    found += [(f"minutes_{name}", value) for name, value in front.get("minutes", {}).items()]
    found += [("drawing", drawing.get("name", "")), ("legend", "\n".join(drawing.get("legend", [])))]
    found += [(f"param_{name}", value) for name, value in drawing.get("params", {}).items()]
    found += [("check_ask", check.get("ask", "")), ("check_settled", check.get("settled", ""))]
    found += [("check_steps", "\n".join(check.get("steps", []))), *parts.items()]
    outcomes, asked = front.get("outcomes", []), front.get("fields", [])
    return [*found, *_as_rows("outcome", outcomes, 2), *_as_rows("question", asked, 1), *_answers(asked)]


def _as_rows(prefix: str, told: list[dict[str, Any]], more: int) -> list[tuple[str, Any]]:
    cells = [
        (f"{prefix}-{n}-{name}", value) for n, row in enumerate(told) for name, value in row.items() if name != "options"
    ]  # fmt: skip
    return [(f"{prefix}-rows", len(told) + more), *cells]


def _answers(asked: list[dict[str, Any]]) -> list[tuple[str, Any]]:
    """The answers of each question; a few empty rows where there may be more, and for a question that is still to come."""
    found = []
    for n, question in enumerate([*asked, {"kind": "choice"}]):
        more = 2 if question.get("kind") in (None, "choice") else 0
        found += _as_rows(f"question-{n}-option", question.get("options", []), more)
    return found
