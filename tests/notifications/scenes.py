"""Short scenes that end in letters, each by the real actions."""

from datetime import timedelta
from io import BytesIO
from typing import Any

from django.conf import settings
from django.utils import timezone
from PIL import Image

from jobs.actions import (
    arriving,
    asking,
    coding,
    enquiring,
    finding,
    judging,
    leaving,
    linking,
    paying,
    promising,
    quote,
    reminding,
    trying,
    warranting,
    working,
)
from jobs.actor import HOUSE, Actor
from jobs.models import Finding, Job, Photo, Quote, Workshop
from notifications import chasing, claiming, gathering, relay, returned
from notifications.lost import BOUNCED
from notifications.models import Letter, Nudge
from tests.cast import Cast
from tests.once import made_once

STORY = "I pushed the lever <b>harder</b> & then it went slack. Did I break it?"


def add_photo(
    job: Job, purpose: str, about: Finding | None = None, colours: int = 6, state: str = "ready"
) -> Photo:
    """A developed photograph; `colours` makes its file larger."""
    picture = Image.effect_noise((800, 533), colours).convert("RGB")
    held = BytesIO()
    picture.save(held, "JPEG", quality=75)
    name = f"aa/{purpose}-{job.pk}-{colours}.jpg"
    path = settings.MEDIA_ROOT / name
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(held.getvalue())
    return Photo.objects.create(
        job=job, purpose=purpose, finding=about, state=state, sizes={"800": name}, width=800, height=533
    )


def age_quote(sent: Quote, days: float) -> Quote:
    """As if the quote had been sent so many days ago."""
    Quote.objects.filter(pk=sent.pk).update(sent_at=timezone.now() - timedelta(days=days))
    sent.refresh_from_db()
    return sent


def letter_of(job: Job, kind: str) -> Letter:
    return Letter.objects.get(job=job, kind=kind)


def run() -> None:
    relay.run()


def told_of(cast: Cast, stage: str) -> Job:
    """A job at this stage; the letters about the way there are written."""
    job = cast.job_at(stage)
    run()
    return job


def told_of_a_quote(cast: Cast) -> Letter:
    """The letter with a quote, which waits."""
    told_of(cast, "quoted")
    return Letter.objects.select_related("job__customer", "person").get(kind="quote_sent")


def booked(cast: Cast, **more: Any) -> Letter:
    job = cast.book(**more)
    run()
    return letter_of(job, "booked")


def examined(cast: Cast) -> Job:
    """Arrived with loose parts, findings posted, one corrected and one taken back."""
    by = cast.technician
    job = cast.book(story=STORY)
    run()
    arriving.receive(job, arriving.Parcel(lens=True, loose_parts=3, condition="Dent on the rim."), by)
    add_photo(job, "arrival")
    arriving.start_examination(job, by)
    run()
    kept = finding.keep(
        job,
        finding.Draft(
            "transport", "seen", "explains", "stops", "A screw lay among the gears", "It jammed them."
        ),
    )
    add_photo(job, "finding", kept)
    finding.post(kept, by)
    run()
    told = {"mechanism": "covering", "effect": "looks", "bearing": "separate"}
    loose = cast.post_finding(job, "The covering has lifted", **told)
    finding.correct(
        loose,
        finding.Draft("covering", "seen", "separate", "looks", "One corner has lifted"),
        "Seen in better light.",
        by,
    )
    wrong = cast.post_finding(job, "The lens is hazy", **told)
    finding.withdraw_finding(wrong, "It was a fingerprint.", by)
    run()
    finding.answer_story(job, "No. A loose screw had jammed the gears.", by)
    today = timezone.localdate()
    promising.promise(job, today + timedelta(days=16), today + timedelta(days=27), by, "if you answer soon")
    return job


def asked_and_nudged(cast: Cast, job: Job) -> Quote:
    sent = cast.send_quote(job, note="The covering can wait.")
    run()
    question = asking.ask(
        job, "Must the <i>covering</i> come off?", Actor.customer(job.customer), "once-1", sent.lines.first()
    )
    run()
    asking.answer(question, "No.\nThe gears are reached from below.", cast.technician)
    job.questions.update(
        answered_at=timezone.now() - timedelta(days=30), asked_at=timezone.now() - timedelta(days=30)
    )
    nudged_for_the_last_time(job)
    run()
    return sent


def nudged_for_the_last_time(job: Job) -> None:
    """The last step of the plan, the steps before it went out long ago."""
    course = chasing.courses(job)[0]
    thing = course.owed
    for n in range(1, len(course.plan)):
        ago = timezone.now() - timedelta(days=30 - n)
        Nudge.objects.create(job=job, about=thing.about, thing=thing.thing, step=n, at=ago)
    chasing.nudge(job, HOUSE)


def chased_for_the_rest(cast: Cast) -> None:
    """An answer to our question, payment, and to come and collect: each for the last time."""
    who = {"email": "sabeth@example.org", "maker": "Pellam", "model": "Six"}
    asked = cast.job_at("arrived", name="Sabeth Crane", **who)
    enquiring.enquire(asked, "Is the <b>strap</b> to stay on?", cast.technician, "ask-2", work_waits=True)
    to_pay = cast.job_at("ready", name="Sabeth Crane", **who)
    to_fetch = cast.job_at("ready", name="Sabeth Crane", **who, return_by="collect")
    run()
    for job in (asked, to_pay, to_fetch):
        nudged_for_the_last_time(job)
    run()


def worked_on(cast: Cast, job: Job, sent: Quote) -> None:
    by, today = cast.technician, timezone.localdate()
    cast.agree(sent)
    promising.promise(job, today + timedelta(days=18), today + timedelta(days=30), by)
    run()
    working.await_part(job, "Rewind fork", by, expected_on=today + timedelta(days=5))
    run()
    working.start_work(job, by)
    working.start_proving(job, by)
    working.prove(job, [working.Tested("transport", False)], by)
    run()
    working.start_proving(job, by)
    add_photo(job, "result")
    working.prove(job, [working.Tested("transport", True), working.Tested("times", True)], by)
    run()
    cast.send_back(job, "Saltmere Parcels", "SP 4411")
    run()
    working.deliver(job, by)
    run()


def claimed(cast: Cast, job: Job) -> None:
    claim = warranting.open_claim(job, "The counter stands still at 12.", Actor.customer(job.customer))
    run()
    arriving.receive(claim, arriving.Parcel(), cast.technician)
    arriving.start_examination(claim, cast.technician)
    cover = job.warranty.covers.exclude(until=None)[0]
    judging.judge_claim(
        claim, "covered", "same", cover, "The counter’s <pawl> has come loose.", cast.technician
    )
    run()


def judged_and_reminded(cast: Cast) -> None:
    """A claim that is not covered, and a warranty that ends within a month."""
    job = cast.home(cast.job_at("returned", name="Perrin Hale", email="perrin@example.org", maker="Pellam"))
    claim = warranting.open_claim(job, "It rattles.", Actor.customer(job.customer))
    arriving.receive(claim, arriving.Parcel(), cast.technician)
    arriving.start_examination(claim, cast.technician)
    judging.judge_claim(
        claim, "not_covered", "other", None, "The <rim> is bent: it has had a knock.", cast.technician
    )
    run()
    leaving.withdraw(claim, cast.technician)
    cast.send_back(claim)
    working.deliver(claim, cast.technician)
    reminding.want_reminder(job.warranty, True)
    ends = timezone.localdate() + timedelta(days=21)
    job.warranty.covers.exclude(until=None).update(until=ends)
    reminding.remind(job.warranty, timezone.localdate())
    run()


def ended_early(cast: Cast) -> None:
    job = cast.job_at("examining", cast.another_book())
    leaving.withdraw(job, Actor.customer(job.customer), "It was a present.")
    linking.ask_for_link(job, Actor.customer(job.customer))
    run()


def lapsed(cast: Cast) -> None:
    job = cast.job_at("quoted", name="Wilf Tamsin", email="wilf@example.org", maker="Pellam", model="Six")
    quote.take_back_quote(job, cast.technician)
    run()
    again = quote.send_quote(quote.draft_quote(job), cast.technician)
    Quote.objects.filter(pk=again.pk).update(valid_until=timezone.localdate() - timedelta(days=1))
    quote.lapse(again)
    run()


def coded(cast: Cast) -> None:
    """A code is asked for, before the quote of one more camera is answered."""
    job = cast.job_at("quoted", name="Ines Vey", email="ines@example.net", maker="Tellmark", model="Bosun")
    coding.ask_for_code(job.quotes.open().get(), "a-new-device", Actor.customer(job.customer))
    run()


def enquired(cast: Cast) -> None:
    """We ask, and they answer."""
    job = cast.job_at("agreed", name="Della Quist", email="della@example.org", maker="Corvane", model="Reef")
    asked = enquiring.enquire(
        job, "Shall the <dent> in the rim stay?", cast.technician, "ask-1", work_waits=True
    )
    run()
    enquiring.answer_enquiry(asked, "Yes.\nIt <i>tells</i> its age.", Actor.customer(job.customer))
    run()


def came_back(cast: Cast) -> None:
    """A letter is refused by the mail server of an address that has been given up."""
    job = cast.book(name="Nell Tarrant", email="nell@example.net", maker="Pellam", model="Folding")
    run()
    lost = letter_of(job, "booked")
    Letter.objects.filter(pk=lost.pk).update(state=Letter.State.SENT)
    returned.came_back(lost, BOUNCED, "5.1.1 550 <nell@example.net>: no such user <here>")
    run()


def tried_and_paid(cast: Cast) -> Job:
    """What came out of a try, taken back and noted again; a payment with its receipt, taken back too."""
    job = cast.job_at(
        "examining", name="Idris Vane", email="idris@example.net", maker="Oakhurst", model="Box"
    )
    draft = quote.draft_quote(job)
    ways = (quote.OutcomeDraft("It wipes off", 14), quote.OutcomeDraft("The glass has gone", 6))
    quote.put_line(draft, quote.LineDraft("work", "needed", "Clean the haze", 3800, outcomes=ways))
    sent = quote.send_quote(draft, cast.technician)
    cast.agree(sent)
    working.start_work(job, cast.technician)
    line = sent.lines.get()
    trying.note_outcome(line, line.outcomes.get(title="The glass has gone"), cast.technician)
    run()
    Letter.objects.filter(job=job, kind="tried").update(state=Letter.State.SENT)
    trying.undo_outcome(line, "Another camera’s", cast.technician)
    trying.note_outcome(line, line.outcomes.get(title="It wipes off"), cast.technician)
    run()
    cast.pay(job, 2000, way="transfer")
    run()
    Letter.objects.filter(job=job, kind="paid").update(state=Letter.State.SENT)
    paying.undo_payment(job.payments.get(), "Another job’s", cast.technician)
    run()
    return job


def gathered(cast: Cast) -> Letter:
    """Three pieces of news in one letter, as it is when it goes: it arrived, with a photograph; a finding with a drawing; another."""
    job = cast.job_at("arrived", name="Nell Garrow", email="nell@example.org", maker="Tellmark", model="Gull")
    add_photo(job, "arrival", colours=4)
    run()
    arriving.start_examination(job, cast.technician)
    drawn = {"surfaces": "between_front", "strength": "light"}
    haze = finding.Draft(
        "lens", "untried", "explains", "pictures", "There is <haze> inside", "", "lens/haze-inside", drawn
    )
    finding.post(finding.keep(job, haze), cast.technician)
    run()
    cast.post_finding(
        job, "The covering has lifted", mechanism="covering", effect="looks", bearing="separate"
    )
    run()
    carrier = letter_of(job, "arrived")
    Letter.objects.filter(pk=carrier.pk).update(next_attempt_at=timezone.now())
    claimed_now = claiming.claim(carrier.pk)
    assert claimed_now
    assert gathering.gather(claimed_now)
    return Letter.objects.select_related("job__item", "job__customer", "person", "entry").get(pk=carrier.pk)


def every_letter(cast: Cast) -> dict[str, Letter]:
    """Kind -> letter; and under "gathered" one that carries others. What says that something lies with us says the storage terms."""
    Workshop.objects.update(storage_words="After that we ask £1 a week <from you>.")
    return made_once(all_scenes, cast)


def all_scenes(cast: Cast) -> dict[str, Letter]:
    job = examined(cast)
    worked_on(cast, job, asked_and_nudged(cast, job))
    claimed(cast, job)
    ended_early(cast)
    lapsed(cast)
    coded(cast)
    enquired(cast)
    came_back(cast)
    chased_for_the_rest(cast)
    tried_and_paid(cast)
    judged_and_reminded(cast)
    written = Letter.objects.exclude(state=Letter.State.SKIPPED).order_by("picture", "-pk")
    of_each_kind = {
        letter.kind: letter
        for letter in written.select_related("job__item", "job__customer", "person", "entry")
    }
    return of_each_kind | {"gathered": gathered(cast)}
