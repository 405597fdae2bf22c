"""Tidewater Camera Works of Saltmere: an invented workshop with about fifteen jobs, told by the real actions with dates relative to today.

`load()` fills an empty database; `doors()` gives fresh ways in to it. Makers, people, addresses and numbers are invented; telephone
numbers are from a range kept for drama.
"""

from collections.abc import Callable

from django.conf import settings

from jobs.actions.linking import issue_link
from jobs.demo import scenario
from jobs.demo.telling import PASSWORD, Teller
from jobs.models import Job, Workshop

DOORS = (
    ("Orla Fennimore", "a quote waits for her answer"),
    ("Ivo Harkaway", "work goes on, and one thing more waits for his answer"),
    ("Thaddeus Orme", "ready; to be paid"),
    ("Cosmo Penhallow", "his camera is home, under warranty"),
    ("Wilhelmina Ash", "nothing was broken; ready to collect"),
)


class NotEmpty(Exception):
    """There is a workshop in this database already."""


def load(
    nudge: Callable[[Job], None] = lambda job: None,
    after: Callable[[], None] = lambda: None,
    mail: Callable[[Job, str, str], None] = lambda job, text, how: None,
) -> int:
    """Tell every story of the scenario, with `nudge` where one goes out, `mail` where a customer answers a letter, and `after` each
    thing that happens.

    Returns how many jobs there are. Raises NotEmpty.
    """
    if Workshop.objects.current():
        raise NotEmpty
    teller = Teller.open_house(nudge, after, mail)
    for story in scenario.STORIES:
        story(teller)
    teller.develop()
    return Job.objects.count()


def doors() -> list[str]:
    """Lines to print: the demo's logins and fresh private links. Empty when this is not the demo's database."""
    if not Job.objects.filter(customer__name=DOORS[0][0]).exists():
        return []
    lines = [
        f"Owner:       {settings.PUBLIC_BASE_URL}/office/   hester / {PASSWORD}",
        f"Technician:  {settings.PUBLIC_BASE_URL}/bench/    jory / {PASSWORD}",
        "Customers, by private link:",
    ]
    for name, what in DOORS:
        job = Job.objects.filter(customer__name=name).order_by("pk").first()
        if job:
            lines.append(f"  {name}, {what}:")
            lines.append(f"    {settings.PUBLIC_BASE_URL}/open/{issue_link(job, 'demo')}")
    return lines
