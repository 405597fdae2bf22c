"""The storm itself: bookings come in, blows fall, waits are shortened, the office presses, until everything has arrived."""

import random
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from django.db.models import F
from django.utils import timezone

from jobs.actions.refusals import Refused
from notifications import claiming, letters, relay, tasks
from notifications.models import Letter, SweepLease
from tests.cast import make_cast
from tests.chaos.house import House
from tests.chaos.server import PATIENCE, Server
from tests.chaos.verdict import Verdict, judge

# A round takes two seconds and its last letter a few timeouts more: whoever holds a letter for longer is dead. In rows that is a
# minute; here it is made this long.
SURELY_DEAD = timedelta(seconds=20)
LONG_AGO = timedelta(minutes=10)


@dataclass(frozen=True)
class Plan:
    """letters: how many bookings. between_blows: letters that get through between two blows, drawn between these.
    sweeps: seconds between sweeps that are sent beside beat's own (None: beat alone).
    calm_after: seconds after which nothing more falls; nor does it on the last few letters.
    patience: seconds without a letter after which it is given up.
    """

    letters: int
    between_blows: tuple[int, int] = (5, 30)
    sweeps: float | None = None
    calm_after: float = 240
    patience: float = 180


@dataclass
class Storm:
    plan: Plan
    house: House
    server: Server
    chance: random.Random

    def rage(self, say: Callable[[str], object]) -> None:
        """Until all letters are delivered and noted, or none has got through for too long."""
        self.cast, self.booked, self.sent = make_cast(), 0, 0
        self.doubts: Counter[int] = Counter()
        self.began = self.last_sent = time.monotonic()
        self.next_blow_at = 1  # letters sent
        turns: dict[Callable[[], object], float] = {
            self.look: 0.2,
            self.book: 0.2,
            self.house.look_after: 0.5,
            self.pass_time: 1.0,
            self.press: 2.0,
            lambda: say(f"{self.lasted():4.0f} s: {self.booked} booked, {self.sent} sent"): 10.0,
        }
        if self.plan.sweeps:
            turns[tasks.sweep.apply_async] = self.plan.sweeps
        due = dict.fromkeys(turns, self.began)
        while not self.is_over() and time.monotonic() < self.last_sent + self.plan.patience:
            for turn, every in turns.items():
                if due[turn] <= time.monotonic():
                    turn()
                    due[turn] = time.monotonic() + every
            time.sleep(0.05)
        say(f"{self.lasted():4.0f} s: over")

    def lasted(self) -> float:
        return time.monotonic() - self.began

    def look(self) -> None:
        """How many got through; and a blow after so many. By letters and not by the clock: on a slow machine a worker would be killed
        before it had begun.
        """
        now, sent = time.monotonic(), Letter.objects.filter(state="sent").count()
        if sent > self.sent:
            self.sent, self.last_sent = sent, now
        calm = sent > 0.95 * self.plan.letters or self.lasted() > self.plan.calm_after
        if sent >= self.next_blow_at and not calm:
            self.house.suffer()
            self.next_blow_at = sent + self.chance.randint(*self.plan.between_blows)

    def book(self) -> None:
        """A few more jobs, by the real action; their commit wakes the relay."""
        for number in range(self.booked, min(self.booked + 8, self.plan.letters)):
            self.cast.book(name=f"Guest {number}", email=f"guest{number}@example.org")
            self.booked = number + 1

    def pass_time(self) -> None:
        """As far as rows can tell, waits are over and the leases of the dead have run out."""
        now = timezone.now()
        SweepLease.objects.update(until=now)
        open_ones = Letter.objects.filter(state__in=Letter.State.open_ones(), next_attempt_at__isnull=False)
        open_ones.filter(next_attempt_at__gt=now).update(next_attempt_at=now)
        Letter.objects.filter(woken_at__isnull=False).update(woken_at=F("woken_at") - LONG_AGO)
        held = Letter.objects.filter(state=Letter.State.SENDING)
        held.filter(lease_until__lt=now + claiming.lease() - SURELY_DEAD).update(lease_until=now)

    def press(self) -> None:
        """What the office does by hand: send again what was refused, and what may have arrived and is left to a person."""
        left = Letter.objects.filter(state="ambiguous", next_attempt_at=None)
        for letter in [*left, *Letter.objects.filter(state="failed")]:
            doubts = letter.doubts
            try:
                letters.resend(letter)
            except Refused:
                continue
            self.doubts[letter.pk] += doubts
            self.house.suffered["presses in the office"] += 1

    def is_over(self) -> bool:
        if self.booked < self.plan.letters:
            return False
        unsent = Letter.objects.exclude(state__in=["sent", "skipped", "carried"])
        return not relay.unread().exists() and not unsent.exists()


def run(plan: Plan, folder: Path, seed: int, say: Callable[[str], object]) -> tuple[Verdict, Storm]:
    """One whole storm, with everything that it needs, in `folder`."""
    chance = random.Random(seed)
    kept = folder / "kept"
    kept.mkdir()
    server = Server(kept, random.Random(seed + 1)).open()
    house = House(folder, chance, SMTP_URL=server.url, EMAIL_TIMEOUT=str(PATIENCE), LOG_LEVEL="WARNING")
    storm = Storm(plan, house, server, chance)
    try:
        house.open()
        storm.rage(say)
    finally:
        house.close()
        server.close()
    return judge(kept, storm.doubts), storm  # now that nobody is at work any more
