"""What letters say about money: how it stands with an entry, what is asked for, how it can be paid; and the letters about payments."""

from datetime import date
from typing import Any

from jobs import money
from jobs.accounts import Account, account
from jobs.models import Entry, Kind, Workshop
from jobs.phrases import mid_sentence
from jobs.ways_to_pay import ways_to_pay
from jobs.words import PaymentKind, Stage
from notifications.models import Letter

Content = dict[str, Any]


def stands_at(entry: Entry) -> Account:
    """The account as it was with this entry, whatever came later: a letter that is written again says the same."""
    return account(entry.job, entry.job.entries.filter(seq__lte=entry.seq).order_by("seq"))


def shown(minor: int, currency: str) -> str:
    return money.show(minor, currency)


def asked_for(entry: Entry, stands: Account, minor: int) -> Content:
    """`pay`: the sum, and `ways` to pay it, for parts/how_to_pay; "" and None where nothing is asked for."""
    house = Workshop.objects.current()
    if not minor or house is None:
        return {"pay": "", "ways": None}
    ways = ways_to_pay(house, entry.job, minor, stands.currency)
    return {"pay": shown(minor, stands.currency), "ways": ways}


def due(entry: Entry) -> Content:
    """All that is due by this entry, and what of it was paid before; `had` all that was paid, `over` what of that goes back."""
    stands = stands_at(entry)
    had = shown(stands.paid, stands.currency) if stands.paid > 0 else ""
    over = shown(stands.over, stands.currency) if stands.over else ""
    paid = had if stands.due else ""
    return {"paid": paid, "had": had, "over": over, **asked_for(entry, stands, stands.due)}


def paid(entry: Entry) -> Content:
    """A receipt: money that came, or went back."""
    told, stands = entry.data, stands_at(entry)
    return {
        "back": entry.kind == Kind.REFUNDED,
        "sum": shown(told["amount"], told["currency"]),
        "on": date.fromisoformat(told["on"]),
        "way": told["way"],
        "is_deposit": told["kind"] == PaymentKind.DEPOSIT,
        "left": shown(stands.due, stands.currency) if stands.due else "",
        "over": shown(stands.over, stands.currency) if stands.over else "",
        "settled": stands.is_settled and bool(stands.agreed),
        "leaves_now": entry.job.stage == Stage.READY and told.get("holder") == "workshop",
    }


def undone(entry: Entry) -> Content:
    told, stands = entry.data, stands_at(entry)
    return {
        "back": told["kind"] == PaymentKind.REFUND,
        "sum": shown(told["amount"], told["currency"]),
        "left": shown(stands.due, stands.currency) if stands.due else "",
    }


def tried(entry: Entry) -> Content:
    """What came out of a try, what follows, and what it comes to by now, tax and all."""
    told, stands = entry.data, stands_at(entry)
    came_out = told["came_out"].rstrip(".")
    return {
        "title": told["title"].rstrip("."),
        "came_out": mid_sentence(came_out),
        "then": told["then"],
        "over_ceiling": told["over_ceiling"],
        "ceiling": shown(told["ceiling"], told["currency"]) if told["ceiling"] is not None else "",
        "follow_on": told["follow_on_title"].rstrip("."),
        "price": shown(told["price"], told["currency"]),
        "now": shown(stands.agreed, stands.currency),
        "tax_name": stands.tax_name if stands.tax_added and stands.tax else "",
    }


def try_undone(entry: Entry) -> Content:
    told = entry.data
    return {"title": told["title"].rstrip("."), "came_out": told["came_out"].rstrip(".")}


def try_was_undone(entry: Entry) -> bool:
    """Whether what this entry says of a try was taken back since."""
    later = entry.job.entries.filter(kind=Kind.TRY_UNDONE, seq__gt=entry.seq)
    return any(each.data["line"] == entry.data["line"] for each in later)


def was_told_of_try(entry: Entry) -> bool:
    """Whether a letter about what this entry takes back has gone out, or may have."""
    earlier = entry.job.entries.filter(kind=Kind.TRIED, seq__lt=entry.seq).order_by("-seq")
    noted = [each.pk for each in earlier if each.data["line"] == entry.data["line"]][:1]
    return Letter.objects.gone().filter(entry__in=noted, kind="tried").exists()


def was_undone(entry: Entry) -> bool:
    """Whether a payment's entry was taken back since."""
    later = entry.job.entries.filter(kind=Kind.PAYMENT_UNDONE, seq__gt=entry.seq)
    return any(each.data["payment"] == entry.data["payment"] for each in later)


def had_receipt(entry: Entry) -> bool:
    """Whether a receipt for the payment that this entry takes back has gone out, or may have."""
    earlier = entry.job.entries.filter(kind__in=[Kind.PAID, Kind.REFUNDED], seq__lt=entry.seq)
    noted = [each.pk for each in earlier if each.data["payment"] == entry.data["payment"]]
    return Letter.objects.gone().filter(entry__in=noted, kind="paid").exists()
