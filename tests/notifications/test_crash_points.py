"""Killed anywhere, twice in a row: a letter arrives, or a person is told that it may not have."""

from itertools import product

import pytest
from django.utils import timezone

from notifications import deliver
from notifications.channels import CHANNELS
from notifications.models import Letter
from tests.notifications.scenes import booked

# In the order in which they come. From "handing" on the server may have the letter without our knowing.
POINTS = ("claimed", "talking", "handing", "kept", "noting", "nowhere")
MAY_REPEAT = {"kept", "noting"}


class Killed(BaseException):
    """What SIGKILL looks like from inside: nothing after it runs."""


class Post:
    """A mail server that keeps count, and a worker that is killed at the points given, one for each attempt."""

    def __init__(self, points):
        self.points, self.kept = list(points), 0

    def reach(self, point):
        if self.points and self.points[0] == point:
            self.points.pop(0)
            raise Killed

    def close(self):
        pass

    def send(self, letter, before_handing):
        self.reach("talking")
        before_handing()
        self.reach("handing")
        self.kept += 1
        self.reach("kept")


def lay_into_the_road(post: Post, patched: pytest.MonkeyPatch) -> None:
    ends, wanted = deliver._end, deliver._no_longer_wanted
    patched.setitem(CHANNELS, "email", lambda: post)
    patched.setattr(deliver, "_end", lambda *given, **more: post.reach("noting") or ends(*given, **more))
    patched.setattr(deliver, "_no_longer_wanted", lambda letter: post.reach("claimed") or wanted(letter))


def attempt(letter: Letter) -> None:
    """Much later: leases have run out, waits are over; a fresh worker sweeps and sends."""
    Letter.objects.filter(state="sending").update(lease_until=timezone.now())
    deliver.free_the_stranded()
    Letter.objects.filter(next_attempt_at__isnull=False).update(next_attempt_at=timezone.now())
    deliver.deliver(letter.pk)


def work_until_quiet(letter: Letter) -> Letter:
    for _ in range(6):
        try:
            attempt(letter)
        except Killed:
            continue
    letter.refresh_from_db()
    return letter


@pytest.mark.parametrize(("first", "second"), list(product(POINTS, POINTS)))
def test_no_letter_is_lost_wherever_its_workers_are_killed(cast, monkeypatch, first, second):
    letter = booked(cast)
    post = Post(point for point in (first, second) if point != "nowhere")
    lay_into_the_road(post, monkeypatch)
    work_until_quiet(letter)
    assert letter.state == "sent" or letter in Letter.objects.troubled()
    assert post.kept >= 1 or letter.state == "ambiguous"
    assert post.kept <= 1 + sum(point in MAY_REPEAT for point in (first, second))
