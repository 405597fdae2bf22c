"""Short words for telling a demo story: each calls the real action, on the day that it happened."""

import tomllib
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from datetime import time, timedelta
from functools import cache, wraps
from pathlib import Path
from typing import Any, TypeVar, cast

from django.utils import timezone

from jobs.accounts import account
from jobs.actions import (
    arriving,
    asking,
    booking,
    deciding,
    enquiring,
    explaining,
    finding,
    leaving,
    paying,
    promising,
    quote,
    settling,
    trying,
    warranting,
    working,
)
from jobs.actions.chase_plans import lay_usual_plans
from jobs.actions.photo import Ring, add_photo, describe_photo, photo_is_ready
from jobs.actor import Actor
from jobs.darkroom import store
from jobs.darkroom.process import Developed, develop
from jobs.demo.clock import standing_at
from jobs.models import Decision, Finding, Job, Line, Photo, Quote, Staff, WarrantyTerm, Workshop
from jobs.words import TaxMode

PHOTOS = Path(__file__).parent / "photos"
PASSWORD = "tidewater-demo"  # noqa: S105 (the demo's, printed on the terminal)
SENTENCE = "I agree to the work chosen above and to pay for it when it is done."

Tale = TypeVar("Tale", bound=Callable[..., Any])


@cache
def marks() -> dict[str, Any]:
    """What is where on each photograph: {name: {"note": str, "marks": {detail: [x, y]}}}."""
    return tomllib.loads((PHOTOS / "marks.toml").read_text())


def on_the_day(told: Tale) -> Tale:
    """Each telling takes a quarter of an hour of the teller's day."""

    @wraps(told)
    def then(teller: "Teller", *args: Any, **kwargs: Any) -> Any:
        with standing_at(teller.day, teller.hour):
            teller.hour += 0.25
            result = told(teller, *args, **kwargs)
            teller.after()
            return result

    return cast("Tale", then)


@dataclass
class Teller:
    """Knows the house and what day it is in the story (`day` days before today, `hour` o'clock)."""

    owner: Actor
    technician: Actor
    day: int = 0
    hour: float = 10.0
    photos: list[Photo] = field(default_factory=list)
    # Nudges and mail belong to notifications, which this room does not know: whoever loads the demo may hand them in.
    nudge: Callable[[Job], None] = lambda job: None
    after: Callable[[], None] = lambda: None  # called after each telling, on its day
    mail: Callable[[Job, str, str], None] = lambda job, text, how: None

    @classmethod
    def open_house(
        cls,
        nudge: Callable[[Job], None],
        after: Callable[[], None],
        mail: Callable[[Job, str, str], None],
    ) -> "Teller":
        Workshop.objects.create(
            name="Tidewater Camera Works",
            place="Saltmere",
            address="4 Slipway Lane\nSaltmere",
            telephone="01632 960100",
            email="bench@tidewater.example",
            signed_by="Hester Quill",
            hours="Tuesday to Saturday, 10 to 5",
            currency="GBP",
            tax_mode=TaxMode.INCLUDED,
            tax_name="VAT",
            tax_rate_bp=2000,
            quote_days=28,
            assessment_fee=2500,
            carriage_fee=1200,
            warranty_months=12,
            hour_price=6000,
            credits_assessment=True,
            account_holder="Tidewater Camera Works",
            iban="GB13SLTM00000012345678",
            account_words="By bank transfer, or by card or cash at our counter.",
            code_above=40000,
            # What is urgent goes at any hour. News gathers for a minute, and waits for the day; the letterbox says until when.
            digest_minutes=1,
            quiet_from=time(20),
            quiet_until=time(8),
            work_days=[1, 2, 3, 4, 5],
        )
        lay_usual_plans()
        WarrantyTerm.objects.create(mechanism="lens", months=3)
        WarrantyTerm.objects.create(mechanism="seals", months=6)
        owner, technician = (
            _staff("hester", "Hester", "Quill", "owner"),
            _staff("jory", "Jory", "Pell", "technician"),
        )
        return cls(owner, technician, nudge=nudge, after=after, mail=mail)

    def on(self, days_ago: int, hour: float = 10.0) -> "Teller":
        self.day, self.hour = days_ago, hour
        return self

    @on_the_day
    def book(self, name: str, camera: str, story: str, **more: Any) -> Job:
        maker, _, model = camera.partition(" ")
        first, last = name.lower().split()[0], name.lower().split()[-1].replace("-", "")
        told: dict[str, Any] = {
            "email": f"{first}.{last}@example.{'org' if len(first) % 2 else 'net'}",
            "telephone": _telephone(name),
        }
        address = f"{3 + len(name)} {name.split()[-1]} Row\nSaltmere"
        return booking.book(
            booking.Booking(
                name=name, maker=maker, model=model, story=story, **told, **{"address": address, **more}
            )
        )

    @on_the_day
    def settled(self, key: str, kind: str) -> None:
        settling.settle_at_home(key, kind)

    @on_the_day
    def posted(self, job: Job) -> None:
        arriving.say_posted(job, self.of(job))

    @on_the_day
    def arrived(self, job: Job, condition: str, photo: str = "", **parcel: Any) -> None:
        arriving.receive(
            job, arriving.Parcel(condition=condition, **{"lens": True, **parcel}), self.technician
        )
        if photo:
            self._photo(job, photo, Photo.Purpose.ARRIVAL, "As it reached us.")

    @on_the_day
    def examine(self, job: Job) -> None:
        arriving.start_examination(job, self.technician)

    @on_the_day
    def found(
        self,
        job: Job,
        title: str,
        words: str,
        text: str = "",
        explanation: str = "",
        facts: dict[str, Any] | None = None,
        photos: dict[str, tuple[str, list[str]]] | None = None,
        keep: bool = False,
    ) -> Finding:
        """`words`: mechanism, certainty, bearing, effect. `photos`: file name -> caption and the details that marks 1, 2 ... ring."""
        mechanism, certainty, bearing, effect = words.split()
        draft = finding.Draft(mechanism, certainty, bearing, effect, title, text, explanation, facts or {})
        kept = finding.keep(job, draft)
        for name, (caption, details) in (photos or {}).items():
            picture = self._photo(job, name, Photo.Purpose.FINDING, caption)
            rings = [Ring(n, *marks()[name]["marks"][detail]) for n, detail in enumerate(details, start=1)]
            describe_photo(picture, caption=caption, finding=kept, rings=rings)
        return kept if keep else finding.post(kept, self.technician)

    @on_the_day
    def correct(self, found: Finding, because: str, **changed: str) -> None:
        said = {name: getattr(found, name) for name in finding.Draft.__dataclass_fields__}
        finding.correct(found, finding.Draft(**{**said, **changed}), because, self.technician)

    @on_the_day
    def write_up(self, found: Finding) -> None:
        explaining.write_up(found, self.technician)

    @on_the_day
    def answer_story(self, job: Job, answer: str) -> None:
        finding.answer_story(job, answer, self.technician)

    @on_the_day
    def quote(self, job: Job, *lines: quote.LineDraft, note: str = "", **sending: Any) -> Quote:
        """`sending`: fields of `quote.Sending`. Lines replace the one with the same title of the quote before."""
        draft = quote.draft_quote(job)
        there = {line.title: line for line in draft.lines.asked()}
        for line in lines:
            quote.put_line(draft, line, there.get(line.title))
        return quote.send_quote(draft, self.technician, sending=quote.Sending(note=note, **sending))

    @on_the_day
    def came_out(self, line: Line, key: str, note: str = "") -> None:
        """What came out of a try: the outcome with this key of the library."""
        trying.note_outcome(line, line.outcomes.get(key=key), self.technician, note)

    @on_the_day
    def promise(self, job: Job, likely: int, surely: int, note: str = "") -> None:
        """Dates as days from the day on which they were given."""
        today = timezone.localdate()
        promising.promise(
            job, today + timedelta(days=likely), today + timedelta(days=surely), self.owner, note
        )

    @on_the_day
    def agreed(
        self, sent: Quote, *needs: str, ceiling: int | None = None, branches: tuple[str, ...] = ()
    ) -> None:
        """Lines by their need, and branches by their title; `ceiling` in whole pounds."""
        wanted = [line.pk for line in sent.lines.asked() if line.need in (needs or ("needed",))]
        wanted += [line.pk for line in sent.lines.filter(outcome__isnull=False) if line.title in branches]
        answer = deciding.Answer(
            sent.shown_hash,
            wanted,
            sent.job.customer.name,
            SENTENCE,
            ceiling=ceiling * 100 if ceiling else None,
        )
        deciding.decide(sent, answer, self.of(sent.job))

    @on_the_day
    def agreed_by_telephone(self, sent: Quote) -> None:
        lines = [line for line in sent.lines.asked() if line.need == "needed"]
        titles = "; ".join(line.title for line in lines if not line.is_fixed)
        name, way = sent.job.customer.name, Decision.Way.TELEPHONE
        said = f"{name} said yes by telephone to: {titles}."
        answer = deciding.Answer(
            sent.shown_hash, [line.pk for line in lines], name, said, way, self.owner.name
        )
        deciding.decide(sent, answer, self.owner)

    @on_the_day
    def nudged(self, job: Job) -> None:
        self.nudge(job)

    @on_the_day
    def wrote(self, job: Job, text: str, how: str = "answer") -> Any:
        """They answer the newest letter that they have, from their mail program: `how` as `mail` takes it. Returns the question that
        came of it, None where none did.
        """
        before = set(job.questions.values_list("pk", flat=True))
        self.mail(job, text, how)
        return job.questions.exclude(pk__in=before).first()

    @on_the_day
    def asked(self, job: Job, text: str, about: Any = None) -> Any:
        return asking.ask(job, text, self.of(job), f"demo-{job.ref}-{job.questions.count()}", about)

    @on_the_day
    def answered(self, question: Any, text: str) -> None:
        asking.answer(question, text, self.technician)

    @on_the_day
    def enquired(self, job: Job, text: str, **more: Any) -> Any:
        return enquiring.enquire(
            job, text, self.technician, f"demo-{job.ref}-{job.enquiries.count()}", **more
        )

    @on_the_day
    def work(self, job: Job) -> None:
        working.start_work(job, self.technician)

    @on_the_day
    def part(self, job: Job, what: str, supplier: str, expected: int | None = None) -> None:
        """`expected`: days from the day on which it was ordered."""
        day = timezone.localdate() + timedelta(days=expected) if expected is not None else None
        working.await_part(job, what, self.technician, supplier, day)

    @on_the_day
    def times(self, job: Job, after_work: bool, **measured: int) -> None:
        """`s60=16400`: the 1/60 mark took 16.4 ms; `s1` is the full second."""
        for mark, us in measured.items():
            working.measure(job, "1" if mark == "s1" else f"1/{mark[1:]}", us, after_work)

    @on_the_day
    def proving(self, job: Job) -> None:
        working.start_proving(job, self.technician)

    @on_the_day
    def proved(self, job: Job, photo: str = "", **tests: str) -> None:
        working.prove(
            job, [working.Tested(test, True, note) for test, note in tests.items()], self.technician
        )
        if photo:
            self._photo(job, photo, Photo.Purpose.RESULT, "Done, on the bench.")

    @on_the_day
    def not_content(self, job: Job, test: str, note: str) -> None:
        working.prove(job, [working.Tested(test, False, note)], self.technician)

    @on_the_day
    def nothing_to_mend(self, job: Job) -> None:
        working.nothing_to_mend(job, self.technician)

    @on_the_day
    def paid(self, job: Job, way: str = "card", amount: int | None = None, kind: str = "payment") -> None:
        """All that is due, or so much of it (minor units)."""
        due = account(job).due if amount is None else amount
        if due:
            paid = paying.Paid(kind, way, due, timezone.localdate())
            paying.note_payment(job, paid, f"demo-{job.ref}-{job.payments.count()}", self.technician)

    @on_the_day
    def sent_back(self, job: Job) -> None:
        working.send_back(job, self.technician, "Saltmere Parcels", f"SP {4000 + job.pk}")

    @on_the_day
    def home(self, job: Job) -> None:
        working.deliver(job)

    @on_the_day
    def withdrawn(self, job: Job, because: str) -> None:
        leaving.withdraw(job, self.of(job), because)

    @on_the_day
    def claim(self, job: Job, story: str) -> Job:
        return warranting.open_claim(job, story, self.of(job))

    @on_the_day
    def photo(self, job: Job, name: str, caption: str, purpose: str = Photo.Purpose.ARRIVAL) -> None:
        self._photo(job, name, purpose, caption)

    @on_the_day
    def story_photo(self, job: Job, name: str) -> None:
        self._photo(job, name, Photo.Purpose.STORY, "From you.", by_kind="customer")

    def of(self, job: Job) -> Actor:
        return Actor.customer(job.customer)

    def develop(self) -> None:
        """Develop every photograph as the darkroom does, two at a time."""
        with ThreadPoolExecutor(2) as pool:
            done = list(pool.map(lambda photo: develop(photo.incoming), self.photos))
        for photo, result in zip(self.photos, done, strict=True):
            if not isinstance(result, Developed):
                raise RuntimeError(f"{photo}: {result.sentence}")
            photo_is_ready(photo, width=result.width, height=result.height, sizes=result.sizes)
            store.forget(photo.incoming)

    def _photo(self, job: Job, name: str, purpose: str, caption: str, by_kind: str = "staff") -> Photo:
        incoming = store.keep_incoming([(PHOTOS / f"{name}.jpg").read_bytes()])
        photo = add_photo(
            incoming, purpose, job=job, caption=caption, file_name=f"{name}.jpg", by_kind=by_kind
        )
        self.photos.append(photo)
        return photo


def _staff(username: str, first: str, last: str, role: str) -> Actor:
    member = Staff.objects.create_user(
        username, f"{username}@tidewater.example", PASSWORD, first_name=first, last_name=last, role=role
    )
    return Actor.staff(member)


def _telephone(name: str) -> str:
    return f"01632 960{100 + sum(name.encode()) % 800:03d}"
