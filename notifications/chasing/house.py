"""What the reckoning needs of the workshop: its working days, its clock, its plans, and how long it keeps finished things."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from zoneinfo import ZoneInfo

from jobs.models import NudgeStep, Workshop
from jobs.working_days import Days, days_of_the_house, zone_of

USUAL_STORAGE_DAYS = 60
UTC = ZoneInfo("UTC")


@dataclass(frozen=True)
class House:
    """`plans`: the steps for each thing that can be owed (`Owes`), in order; none for what is never chased by itself."""

    days: Days = field(default_factory=Days)
    zone: ZoneInfo = UTC
    storage_days: int = USUAL_STORAGE_DAYS
    plans: Mapping[str, tuple[NudgeStep, ...]] = field(default_factory=dict)

    def day(self, moment: datetime) -> date:
        """The day by the workshop's clock."""
        return moment.astimezone(self.zone).date()

    def plan(self, about: str) -> tuple[NudgeStep, ...]:
        return self.plans.get(about, ())


def read_house() -> House:
    """Two small queries."""
    house = Workshop.objects.current()
    steps: dict[str, list[NudgeStep]] = defaultdict(list)
    for step in NudgeStep.objects.order_by("about", "n"):
        steps[step.about].append(step)
    plans = {about: tuple(found) for about, found in steps.items()}
    kept = house.storage_days if house else USUAL_STORAGE_DAYS
    return House(days_of_the_house(house), zone_of(None, house), kept, plans)
