"""Background work of the letters. Tasks take numbers only and hold no rule; losing one, or running one twice, does no harm."""

from datetime import timedelta
from time import monotonic

from celery import shared_task
from django.utils import timezone

from notifications import claiming, deliver, reminding
from notifications import relay as reading
from notifications.chasing import keeping, lapse_all_past, nudge_all_due
from notifications.models import SweepLease
from notifications.replies import forgetting, reply_box, taking
from notifications.waking import wake_letters, wake_relay

AT_A_TIME = 20  # entries
RELAY_SECONDS = 5.0


@shared_task(name="notifications.relay")
def relay() -> None:
    """Write the letters that the journal owes: a few at a time, so that they set out while the next are written."""
    until = monotonic() + RELAY_SECONDS
    while True:
        done = reading.run(enough=AT_A_TIME)
        wake_letters(done.waiting)
        if done.read < AT_A_TIME:
            return
        if monotonic() > until:
            wake_relay()  # and whatever else waits for this worker has its turn
            return


@shared_task(name="notifications.send_letter")
def send_letter(letter_id: int) -> None:
    """Send this letter, unless another worker has it, and go on with what else is due."""
    if left := deliver.deliver_due(letter_id):
        wake_letters([left])


@shared_task(name="notifications.sweep")
def sweep() -> None:
    """Pick up whatever a crash, a lost message or a wait has left lying."""
    if not SweepLease.objects.take("sweep", timedelta(seconds=5)):
        return
    deliver.free_the_stranded()
    wake_letters(claiming.to_wake())
    relay()
    reading.raise_the_floor()


@shared_task(name="notifications.look_for_replies")
def look_for_replies() -> None:
    """Look into the reply box, and pick up messages that a crash or a lost message left lying."""
    if SweepLease.objects.take("look_for_replies", timedelta(seconds=45)):
        reply_box.look()
        taking.wake_those_left()


@shared_task(name="notifications.take_reply")
def take_reply(incoming_id: int) -> None:
    """Take one message to its job, unless another worker did."""
    taking.take(incoming_id)


@shared_task(name="notifications.forget_letters_in")
def forget_letters_in() -> None:
    """Erase what was written to us long ago."""
    if SweepLease.objects.take("forget_letters_in", timedelta(minutes=30)):
        forgetting.forget_old(timezone.now())


@shared_task(name="notifications.nudge_due")
def nudge_due() -> None:
    """Remind customers of what they owe us."""
    if SweepLease.objects.take("nudge_due", timedelta(minutes=5)):
        nudge_all_due(timezone.now())


@shared_task(name="notifications.reckon_owings")
def reckon_owings() -> None:
    """Sum up anew what everybody owes: days pass, and plans change, without an entry in any journal."""
    if SweepLease.objects.take("reckon_owings", timedelta(minutes=30)):
        keeping.refresh_all(timezone.now())


@shared_task(name="notifications.lapse_quotes")
def lapse_quotes() -> None:
    """Let quotes lapse whose last day has passed."""
    if SweepLease.objects.take("lapse_quotes", timedelta(minutes=5)):
        lapse_all_past(timezone.now())


@shared_task(name="notifications.remind_of_ends")
def remind_of_ends() -> None:
    """Tell those who asked for it that their warranty ends within a month."""
    if SweepLease.objects.take("remind_of_ends", timedelta(minutes=30)):
        reminding.remind_all_due(timezone.now())
