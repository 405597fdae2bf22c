"""Kinds of camera as an owner would name them, and what each says about its mechanisms."""

from django.utils.translation import gettext_lazy as _

from jobs.words import Trait

KINDS = [
    ("window", _("Small, with a window beside the lens to look through")),
    ("rangefinder", _("The same, and two pictures in the window that you bring together to focus")),
    ("reflex", _("You look through the lens itself, by a mirror")),
    ("twin", _("Two lenses, one above the other, and you look down into it")),
    ("folder", _("It folds out, with bellows")),
    ("box", _("A box")),
    ("stereo", _("Two lenses side by side")),
    ("part", _("Only a lens, or another part")),
    ("unsure", _("Something else, or I do not know")),
]
# Only what the kind makes certain. The bench adds the rest when it has the item in hand.
TRAITS: dict[str, list[str]] = {
    "window": [Trait.FILM_135],
    "rangefinder": [Trait.FILM_135, Trait.COUPLED_RANGEFINDER],
    "reflex": [Trait.REFLEX],
    "twin": [Trait.TWIN_LENS, Trait.FILM_120, Trait.FIXED_LENS],
    "folder": [Trait.FOLDING, Trait.BELLOWS, Trait.FIXED_LENS],
    "box": [Trait.BOX, Trait.FIXED_LENS],
    "stereo": [Trait.STEREO],
}
# What a camera of the kind never has. The rest it may have: the owner is not asked.
ONE_LENS_35 = [Trait.TWIN_LENS, Trait.STEREO, Trait.BOX, Trait.FILM_120, Trait.REFLEX, Trait.BELLOWS]
NEVER: dict[str, list[str]] = {
    "window": [*ONE_LENS_35, Trait.COUPLED_RANGEFINDER],
    "rangefinder": [*ONE_LENS_35],
    "reflex": [
        Trait.TWIN_LENS,
        Trait.STEREO,
        Trait.BOX,
        Trait.FOLDING,
        Trait.BELLOWS,
        Trait.COUPLED_RANGEFINDER,
    ],
    "twin": [
        Trait.BOX,
        Trait.STEREO,
        Trait.FOLDING,
        Trait.BELLOWS,
        Trait.FILM_135,
        Trait.COUPLED_RANGEFINDER,
    ],
    "folder": [Trait.TWIN_LENS, Trait.STEREO, Trait.BOX, Trait.REFLEX],
    "box": [Trait.TWIN_LENS, Trait.STEREO, Trait.FOLDING, Trait.BELLOWS, Trait.COUPLED_RANGEFINDER],
    "stereo": [Trait.TWIN_LENS, Trait.BOX, Trait.FOLDING, Trait.BELLOWS],
}


def traits_of(kind: str) -> list[str]:
    return [str(trait) for trait in TRAITS.get(kind, [])]


def may_have(kind: str) -> list[str]:
    """All traits that a camera of this kind may have; none at all where the kind says nothing: then anything may be."""
    if kind not in NEVER:
        return []
    return [str(trait) for trait in Trait if trait not in NEVER[kind]]
