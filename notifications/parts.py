"""What stands in one message: the letter itself and those that it carries."""

from notifications.models import Letter


def parts_of(letter: Letter) -> list[Letter]:
    """The letter and what it carries, in the order in which it all happened. Only what can wait carries anything."""
    if letter.urgent:
        return [letter]
    carried = list(letter.carries.select_related("entry", "photo"))
    for each in carried:
        each.job, each.person = letter.job, letter.person
    return sorted([letter, *carried], key=lambda each: each.entry.seq)
