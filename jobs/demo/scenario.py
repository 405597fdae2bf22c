"""All stories, in the order in which they began."""

from collections.abc import Callable

from jobs.demo import stories_home, stories_waiting, stories_work
from jobs.demo.telling import Teller

STORIES: list[Callable[[Teller], None]] = [
    stories_home.cosmo,
    stories_home.aurelio,
    stories_home.rosalind,
    stories_home.hyacinth,
    stories_home.thaddeus,
    stories_home.wilhelmina,
    stories_home.who_looked_first,
    stories_work.eamon,
    stories_work.morwenna,
    stories_work.ivo,
    stories_work.dymphna,
    stories_work.crispin,
    stories_work.petra,
    stories_waiting.anselm,
    stories_waiting.theda,
    stories_waiting.orla,
    stories_waiting.lubin,
    stories_waiting.perpetua,
    stories_waiting.sunniva,
    stories_waiting.barnaby,
]
