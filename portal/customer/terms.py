"""The sentence that a customer agrees to, and the terms they tick. What is kept with an answer is exactly this text."""

from django.utils.translation import gettext as _


def sentence() -> str:
    """Stands above the typed name; the button says the same in short (Directive 2011/83/EU, Art. 8(2): that it binds to pay)."""
    return _("I agree to the work I said yes to above, at these prices, and to pay for it when it is done.")


def terms() -> list[str]:
    """What is ticked. General words of the workshop; the law where the customer lives goes before them."""
    return [
        _(
            "We do what you said yes to, for the price on the line. If we find something new, we stop and ask before it costs more."
        ),
        _("You pay when the work is done, before it goes home."),
        _(
            "Until the work begins you can change your mind. The examination and the post are then still to be paid."
        ),
        _(
            "We stand by the work for the months named on each line. Your rights by law are yours besides, whatever is written here."
        ),
    ]


def kept() -> str:
    """The sentence and the terms as one text, for the evidence."""
    return "\n".join([sentence(), *terms()])
