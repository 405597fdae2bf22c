"""What a customer reads about quotes, answers, tries and payments in the timeline: one function for each kind of entry.

Each takes the entry's data; entries that were written before a key was known do without it.
"""

from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs import money
from jobs.phrases import mid_sentence

Data = dict[str, Any]


def quote_sent(data: Data) -> str:
    if data.get("work_waits"):
        return _("We found something more and sent you a quote for it. The work waits for your answer.")
    if data.get("adds_to"):
        return _("We found something more and sent you a quote for it; what is agreed goes on.")
    if data["replaces"]:
        return _("We sent you a new quote. It replaces the one before.")
    return _("We sent you the quote.")


def quote_withdrawn(data: Data) -> str:
    if data.get("adds"):
        return _("We took the quote for one thing more back; what is agreed goes on.")
    return _("We took the quote back to look further.")


def decided(data: Data) -> str:
    how = bool(data.get("adds_to")), data["way"] == "telephone"
    if not data["agreed"]:
        return str(REFUSED[how])
    return str(AGREED[how]) % {"sum": _agreed_to(data)}


REFUSED: dict[tuple[bool, bool], Promise] = {
    (False, False): gettext_lazy("You answered the quote: no work. It goes back as it is."),
    (False, True): gettext_lazy("You said by telephone: no work; we noted it. It goes back as it is."),
    (True, False): gettext_lazy("You said no to one thing more; what is agreed goes on."),
    (True, True): gettext_lazy(
        "You said no by telephone to one thing more; we noted it. What is agreed goes on."
    ),
}


AGREED: dict[tuple[bool, bool], Promise] = {
    (False, False): gettext_lazy("You answered the quote and agreed to %(sum)s."),
    (False, True): gettext_lazy("You agreed by telephone to %(sum)s; we noted it."),
    (True, False): gettext_lazy("You agreed to one thing more, %(sum)s."),
    (True, True): gettext_lazy("You agreed by telephone to one thing more, %(sum)s; we noted it."),
}


def _agreed_to(data: Data) -> str:
    """The sum; and how far it may go by branches that were agreed beforehand, never above their ceiling."""
    most = min(data.get("highest") or 0, data.get("ceiling") or data.get("highest") or 0)
    sums = {"sum": _sum(data, "gross"), "most": money.show(most, data["currency"])}
    return (
        _("%(sum)s, or up to %(most)s with what may follow") % sums if most > data["gross"] else sums["sum"]
    )


def tried(data: Data) -> str:
    came_out = data["came_out"].rstrip(".")
    said = _("We tried it: %(came_out)s.") % {"came_out": mid_sentence(came_out)}
    return f"{said} {_what_follows(data)}"


def try_undone(data: Data) -> str:
    came_out = bare(data["came_out"])
    return _("We had noted “%(came_out)s” by mistake, and took it back.") % {"came_out": came_out}


def _what_follows(data: Data) -> str:
    """What a try leads to: `jobs.models.Tried.Then`."""
    if data["then"] == "goes_on":
        told = {"what": bare(data["follow_on_title"]), "sum": _sum(data, "price")}
        return _("We go on as you agreed: %(what)s, %(sum)s.") % told
    if data["then"] == "ends":
        return _("We stop there, as agreed. It costs nothing more.")
    if data["then"] == "nothing":
        return _("It costs nothing more.")
    if data["over_ceiling"]:
        return _("What comes next would pass your ceiling of %(sum)s, so we stop and ask you first.") % {
            "sum": _sum(data, "ceiling")
        }
    return _("We stop and ask you first.")


def priced(data: Data) -> str:
    told = {"what": bare(data["title"]), "sum": _sum(data, "price")}
    return _("We noted what it came to: %(what)s, %(sum)s.") % told


def _sum(data: Data, key: str) -> str:
    return money.show(data[key], data["currency"])


def paid(data: Data) -> str:
    return _("We have %(sum)s from you. Thank you.") % {"sum": _sum(data, "amount")}


def refunded(data: Data) -> str:
    return _("We gave you %(sum)s back.") % {"sum": _sum(data, "amount")}


def bare(title: str) -> str:
    """Without the full stop that somebody put after it."""
    return title.rstrip(".")
