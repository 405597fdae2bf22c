"""The sentence that a customer agrees to, and the terms they tick. What is kept with an answer is exactly this text.

Stands above the typed name; the button says the same in short (Directive 2011/83/EU, Art. 8(2): that it binds to pay).
"""

from collections.abc import Iterator, Mapping
from typing import Any

from django.utils.translation import gettext as _

from jobs import money
from jobs.models import Quote
from jobs.words import LineKind, ReturnBy

Told = Mapping[str, Any]  # a quote as it was shown (`jobs.evidence.content`)


def sentence(quote: Quote, told: Told) -> str:
    """Fits the quote: whether it adds to what is agreed, may be held by a ceiling, asks for a deposit."""
    return " ".join(filter(None, [_agreed(quote.is_supplementary, is_open(told)), _deposit(quote)]))


def _agreed(adds: bool, held: bool) -> str:
    if adds and held:
        return _(
            "I agree to the work I said yes to above, beside what I agreed before, at these prices and within my ceiling if I set one, "
            "and to pay for it when it is done."
        )
    if adds:
        return _(
            "I agree to the work I said yes to above, beside what I agreed before, at these prices, and to pay for it when it is done."
        )
    if held:
        return _(
            "I agree to the work I said yes to above, at these prices and within my ceiling if I set one, and to pay for it when it is "
            "done."
        )
    return _("I agree to the work I said yes to above, at these prices, and to pay for it when it is done.")


def _deposit(quote: Quote) -> str:
    if not quote.deposit:
        return ""
    return _("I pay %(sum)s of it before the work begins.") % {
        "sum": money.show(quote.deposit, quote.currency)
    }


def refusal() -> str:
    """What is agreed to by saying no to all of a supplementary quote."""
    return _("I want nothing of this. What I agreed before goes on as it was, and this costs me nothing.")


def button() -> str:
    return _("Agree to the work and to pay for it")


def refuse_button() -> str:
    return _("No to all of it, go on as agreed")


def terms(quote: Quote, told: Told) -> list[str]:
    """What is ticked: general words of the workshop. The law where the customer lives goes before them, and decides about withdrawal

    (within the European Union, Directive 2011/83/EU, Art. 9, 14(3) and 16(a); the articles from memory).
    """
    said = [
        _(
            "Fixed prices are fixed: we do what you said yes to, for the price on the line, however long it takes."
        )
    ]
    if is_open(told):
        said += _of_open_prices()
    said += [
        _("If we find something new, we stop and ask. It costs nothing more until you have said yes."),
        _pay(quote),
    ]
    if any(line["kind"] == LineKind.PART for line in _every(told)):
        said.append(
            _("Parts that we replace are yours. Tell us before the work begins, and they come back with it.")
        )
    if not quote.is_supplementary:
        said.append(_change_of_mind(quote))
    return [
        *said,
        _(
            "You ask us to begin at once. Where the law gives you time to withdraw from an agreement made at a distance, you keep it; what "
            "you pay for what is done by then, and when that right ends, is as the law where you live says."
        ),
        _(
            "We stand by the work for the months named on each line. Your rights by law are yours besides, whatever is written here."
        ),
    ]


def _of_open_prices() -> list[str]:
    return [
        _(
            "“Up to” is the most that a line may come to. If it takes less, you pay less, down to the least that is named; never more."
        ),
        _(
            "What is tried first may turn out one way or another. Where you agreed beforehand what follows, we do that. Where you did not, "
            "we stop and ask you."
        ),
        _(
            "If you set a ceiling, we stop and ask before anything takes the whole past it. Without one, the highest sum above is the most."
        ),
    ]


def _pay(quote: Quote) -> str:
    if quote.deposit:
        return _(
            "You pay %(sum)s before the work begins, and the rest when it is done, before it goes home."
        ) % {"sum": money.show(quote.deposit, quote.currency)}
    return _("You pay when the work is done, before it goes home.")


def _change_of_mind(quote: Quote) -> str:
    """What `jobs.actions.leaving.cost_of_leaving` then asks for: nothing under a claim, no post where it is collected."""
    if quote.job.claim_on_id:
        return _("Until the work begins you can change your mind. That costs nothing.")
    if quote.job.return_by != ReturnBy.POST:
        return _("Until the work begins you can change your mind. The examination is then still to be paid.")
    return _(
        "Until the work begins you can change your mind. The examination and the post are then still to be paid."
    )


def kept(quote: Quote, told: Told) -> str:
    """The sentence and the terms as one text, for the evidence."""
    return "\n".join([sentence(quote, told), *terms(quote, told)])


def is_open(told: Told) -> bool:
    """Whether an answer may come to more or less than one sum: something is tried first, or a price is "up to"."""
    return any(line.get("up_to") or line.get("outcomes") for line in told["lines"])


def _every(told: Told) -> Iterator[Mapping[str, Any]]:
    """Lines and follow-ons."""
    for line in told["lines"]:
        yield line
        for turn in line.get("outcomes", ()):
            yield from turn["follow_ons"]
