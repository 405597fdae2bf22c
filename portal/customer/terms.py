"""The sentence that a customer agrees to, and the terms they tick. What is kept with an answer is exactly this text.

Stands above the typed name; the button says the same in short (Directive 2011/83/EU, Art. 8(2): that it binds to pay).
"""

from django.utils.translation import gettext as _

from jobs import money
from jobs.models import Quote
from jobs.words import LineKind


def sentence(quote: Quote) -> str:
    """`quote`: deposit and whether it adds to what is agreed change what is agreed to."""
    if quote.is_supplementary:
        said = _(
            "I agree to the work I said yes to above, beside what I agreed before, at these prices and within my ceiling if I set one, "
            "and to pay for it when it is done."
        )
    else:
        said = _(
            "I agree to the work I said yes to above, at these prices and within my ceiling if I set one, and to pay for it when it is "
            "done."
        )
    return f"{said} {_deposit(quote)}".strip()


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


def terms(quote: Quote, is_open: bool = False, has_parts: bool = False) -> list[str]:
    """What is ticked. General words of the workshop; the law where the customer lives goes before them.

    `is_open`: something is tried first, or has a price "up to"; `has_parts`: a part may be replaced.
    """
    said = [
        _(
            "Fixed prices are fixed: we do what you said yes to, for the price on the line, however long it takes."
        )
    ]
    if is_open:
        said += [
            _(
                "“Up to” is the most that a line may come to. If it takes less, you pay less, down to the least that is named; never more."
            ),
            _(
                "What is tried first may turn out one way or another. Where you agreed beforehand what follows, we do that. Where you did "
                "not, we stop and ask you."
            ),
            _(
                "If you set a ceiling, we stop and ask before anything takes the whole past it. Without one, the highest sum above is the "
                "most."
            ),
        ]
    said.append(
        _("If we find something new, we stop and ask. It costs nothing more until you have said yes.")
    )
    said.append(_pay(quote))
    if has_parts:
        said.append(
            _("Parts that we replace are yours. Tell us before the work begins, and they come back with it.")
        )
    said += [
        _(
            "Until the work begins you can change your mind. The examination and the post are then still to be paid."
        ),
        _(
            "You ask us to begin at once. Where the law gives you fourteen days to withdraw from an agreement made at a distance, you keep "
            "them; for what is done by then you pay in proportion, and once all of it is done at your request, that right ends."
        ),
        _(
            "We stand by the work for the months named on each line. Your rights by law are yours besides, whatever is written here."
        ),
    ]
    return said


def _pay(quote: Quote) -> str:
    if quote.deposit:
        return _(
            "You pay %(sum)s before the work begins, and the rest when it is done, before it goes home."
        ) % {"sum": money.show(quote.deposit, quote.currency)}
    return _("You pay when the work is done, before it goes home.")


def for_told(quote: Quote, told: dict[str, object]) -> list[str]:
    """The terms that fit a quote as it was shown (`jobs.evidence.content`)."""
    lines: list[dict[str, object]] = list(told["lines"])  # type: ignore[call-overload]
    follow_ons = [
        each
        for line in lines
        for turn in line.get("outcomes", ())  # type: ignore[attr-defined]
        for each in turn["follow_ons"]
    ]
    every = [*lines, *follow_ons]
    return terms(
        quote,
        is_open=any(line.get("up_to") or line.get("outcomes") for line in every),
        has_parts=any(line["kind"] == LineKind.PART for line in every),
    )


def kept(quote: Quote, told: dict[str, object]) -> str:
    """The sentence and the terms as one text, for the evidence."""
    return "\n".join([sentence(quote), *for_told(quote, told)])
