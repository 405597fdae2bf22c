"""What may differ between two quotes, each in the words of people: read from what was shown, no rows.

The contents are those of `jobs.evidence.content`. LINE reads one line of them, WHOLE the quote as a whole.
"""

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from typing import Any, Literal

from django.utils.formats import date_format, number_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs import money
from jobs.words import Certainty, LeftAs, LineKind, Mechanism, Need, TaxCategory, TaxMode

Data = Mapping[str, Any]
Kind = Literal[
    "added",
    "removed",
    "title",
    "words",
    "price",
    "time",
    "need",
    "kind",
    "mechanism",
    "tax",
    "months",
    "requires",
    "either",
    "findings",
    "outcomes",
    "note",
    "until",
    "deposit",
    "credit",
    "declined",
    "waits",
]


def price(line: Data, told: Data) -> str:
    """What a line costs: "up to £60, at least £40"."""
    figure = money.show(line["price"], told["currency"])
    if not line.get("up_to"):
        return figure
    if line.get("least"):
        least = money.show(line["least"], told["currency"])
        return _("up to %(price)s, at least %(least)s") % {"price": figure, "least": least}
    return _("up to %(price)s") % {"price": figure}


def _time(line: Data, told: Data) -> str:
    minutes, per_hour = line.get("minutes"), line.get("per_hour")
    if minutes is None or per_hour is None:
        return ""
    return time_words(minutes, money.show(per_hour, told["currency"]))


def time_words(minutes: int, an_hour: str) -> str:
    """ "90 minutes at £60 an hour"."""
    return ngettext("%(n)s minute at %(price)s an hour", "%(n)s minutes at %(price)s an hour", minutes) % {
        "n": minutes,
        "price": an_hour,
    }


def _tax(line: Data, told: Data) -> str:
    tax = line.get("tax") or {"category": TaxCategory.STANDARD.value, "rate_bp": told["tax"]["rate_bp"]}
    if tax["category"] != TaxCategory.STANDARD:
        return str(TaxCategory(tax["category"]).label)
    return rate_words(tax["rate_bp"])


def rate_words(rate_bp: int) -> str:
    """2000 -> "20 %"."""
    figure = str(number_format(rate_bp / 100, 2))
    return _("%(rate)s %%") % {"rate": figure.rstrip("0").rstrip(".,")}


def _months(line: Data, told: Data) -> str:
    n = line["months"]
    return ngettext("%(n)s month of warranty", "%(n)s months of warranty", n) % {"n": n} if n else ""


def _requires(line: Data, told: Data) -> str:
    titles = {each["id"]: each["title"] for each in told["lines"]}
    return _listed(titles.get(pk, "") for pk in line.get("requires", ()))


def _either(line: Data, told: Data) -> str:
    group = line.get("either")
    return (
        ""
        if group is None
        else _listed(
            each["title"]
            for each in told["lines"]
            if each.get("either") == group and each["id"] != line["id"]
        )
    )


def _findings(line: Data, told: Data) -> str:
    return _listed(
        f"{each['title']} ({Certainty(each['certainty']).label})" for each in line.get("findings", ())
    )


def _outcomes(line: Data, told: Data) -> str:
    turns = line.get("outcomes", ())
    every = sum(turn["weight"] for turn in turns)
    return _listed(_outcome(turn, every) for turn in turns)


def _outcome(turn: Data, every: int) -> str:
    share = _("%(weight)s of %(every)s") % {"weight": turn["weight"], "every": every}
    told = [share]
    if turn["seen"]:
        told.append(_("seen %(n)s times") % {"n": turn["seen"]})
    if turn["stops"]:
        told.append(_("we stop there"))
    return f"{turn['title']} ({', '.join(told)})"


def _label(words: type[Any], value: str) -> str:
    return str(words(value).label) if value else ""


def _listed(titles: Iterable[str]) -> str:
    return "; ".join(titles)


LINE: tuple[tuple[Kind, Callable[[Data, Data], str]], ...] = (
    ("title", lambda line, told: line["title"]),
    ("words", lambda line, told: line["why"]),
    ("price", price),
    ("time", _time),
    ("need", lambda line, told: _label(Need, line["need"])),
    ("kind", lambda line, told: _label(LineKind, line["kind"])),
    ("mechanism", lambda line, told: _label(Mechanism, line.get("mechanism", ""))),
    ("tax", _tax),
    ("months", _months),
    ("requires", _requires),
    ("either", _either),
    ("findings", _findings),
    ("outcomes", _outcomes),
)


# --- the quote as a whole, in words -----------------------------------------------------------------------------------


def _whole_tax(told: Data) -> str:
    tax = told["tax"]
    if tax["mode"] == TaxMode.NONE:
        return str(TaxMode.NONE.label)
    return f"{tax['name']} {rate_words(tax['rate_bp'])}. {TaxMode(tax['mode']).label}".strip()


def _deposit(told: Data) -> str:
    deposit = told.get("deposit", 0)
    return money.show(deposit, told["currency"]) if deposit else ""


def _until(told: Data) -> str:
    day = told.get("valid_until")
    return date_format(date.fromisoformat(day), _("j F Y")) if day else ""


def _declined(told: Data) -> str:
    how = told.get("if_declined") or {"as": "", "note": ""}
    return " ".join(filter(None, [_label(LeftAs, how["as"]), how["note"]]))


WHOLE: tuple[tuple[Kind, Callable[[Data], str]], ...] = (
    ("note", lambda told: told.get("note", "")),
    ("until", _until),
    ("deposit", _deposit),
    ("tax", _whole_tax),
    ("credit", lambda told: _("yes") if told.get("credits_assessment") else _("no")),
    ("declined", _declined),
    ("waits", lambda told: _("yes") if told.get("work_waits") else _("no")),
)
