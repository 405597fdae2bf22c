"""The cast that every test plays with: a workshop, customers, a technician, an owner, and jobs brought along by the real actions."""

from dataclasses import dataclass
from datetime import time, timedelta
from typing import Any

from django.utils import timezone

from jobs.accounts import account
from jobs.actions import arriving, booking, deciding, finding, leaving, paying, promising, quote, working
from jobs.actions.chase_plans import lay_usual_plans
from jobs.actor import Actor
from jobs.models import Customer, Decision, Finding, Job, Quote, Staff, Workshop
from jobs.words import Stage, TaxMode


@dataclass
class Cast:
    workshop: Workshop
    owner_user: Staff
    technician_user: Staff

    @property
    def owner(self) -> Actor:
        return Actor.staff(self.owner_user)

    @property
    def technician(self) -> Actor:
        return Actor.staff(self.technician_user)

    def book(self, name: str = "Orla Fennimore", email: str = "orla@example.org", **more: Any) -> Job:
        told = {
            "maker": "Corvane",
            "model": "Skerry",
            "telephone": "01632 960142",
            "address": "3 Quay Lane\nSaltmere",
            "story": "I pushed the lever a bit harder and then it went slack. Did I break it?",
            **more,
        }
        return booking.book(booking.Booking(name=name, email=email, **told))

    def another_book(self, **more: Any) -> Job:
        return self.book(
            name="Anselm Okoro-Byrne", email="anselm@example.net", maker="Tellmark", model="Reefer", **more
        )

    def post_finding(
        self, job: Job, title: str = "A screw had dropped among the gears", **more: Any
    ) -> Finding:
        said = {
            "mechanism": "transport",
            "certainty": "seen",
            "bearing": "explains",
            "effect": "stops",
            "text": "The screw lay between two gears and stopped them.",
            **more,
        }
        kept = finding.keep(job, finding.Draft(title=title, **said))
        return finding.post(kept, self.technician)

    def send_quote(self, job: Job, **more: Any) -> Quote:
        """Three lines: needed 85, optional 42, insured post 12, all in pounds."""
        draft = quote.draft_quote(job)
        found = list(job.findings.standing()[:1])
        quote.put_line(
            draft,
            quote.LineDraft(
                "work", "needed", "Free the winding gears", 8500, "Without this it cannot wind on.", 12, found
            ),
        )
        quote.put_line(
            draft, quote.LineDraft("work", "optional", "New covering on the front", 4200, "It only looks.")
        )
        quote.put_line(draft, quote.LineDraft("carriage", "needed", "Insured post home", 1200, months=0))
        return quote.send_quote(draft, self.technician, **more)

    def agree(
        self, sent: Quote, yes: list[int] | None = None, name: str = "Orla Fennimore", **more: Any
    ) -> Decision:
        """Yes to what is needed, or to `yes`. `more`: fields of `deciding.Answer`, a ceiling for one."""
        needed = [line.pk for line in sent.lines.asked() if line.need == "needed" and not line.is_fixed]
        wanted = needed if yes is None else yes
        sentence = "I agree to this work and to pay for it."
        answer = deciding.Answer(sent.shown_hash, wanted, name, sentence, **more)
        outcome = deciding.decide(sent, answer, Actor.customer(sent.job.customer))
        assert isinstance(outcome, deciding.Decided), outcome
        return outcome.decision

    def job_at(self, stage: Stage | str, job: Job | None = None, **more: Any) -> Job:
        """A job brought to `stage` by the road that a real one takes."""
        job = job or self.book(**more)
        for step in self._road(Stage(stage)):
            step(job)
        job.refresh_from_db()
        return job

    def _road(self, stage: Stage) -> list[Any]:
        by = self.technician
        steps: dict[Stage, Any] = {
            Stage.ARRIVED: lambda job: arriving.receive(
                job, arriving.Parcel(lens=True, condition="Clean."), by
            ),
            Stage.EXAMINING: lambda job: arriving.start_examination(job, by),
            Stage.QUOTED: self._examine_and_quote,
            Stage.AGREED: lambda job: self.agree(job.quotes.open().get()),
            Stage.IN_WORK: lambda job: working.start_work(job, by),
            Stage.PROVING: lambda job: working.start_proving(job, by),
            Stage.READY: lambda job: working.prove(
                job, [working.Tested("transport", True, "36 frames, even gaps.")], by
            ),
            Stage.RETURNED: lambda job: self.send_back(job, "Saltmere Parcels", "SP 4411"),
        }
        if stage == Stage.EXPECTED:
            return []
        if stage == Stage.AWAITING_PART:
            return [
                *self._road(Stage.AGREED),
                lambda job: working.await_part(job, "Rewind fork", by, "A breaker's shelf"),
            ]
        if stage == Stage.WITHDRAWN:
            return [*self._road(Stage.EXAMINING), lambda job: leaving.withdraw(job, by, "Not worth it")]
        order = list(steps)
        return [steps[step] for step in order[: order.index(stage) + 1]]

    def pay(self, job: Job, amount: int | None = None, kind: str = "payment", way: str = "card") -> None:
        """Note a payment: of all that is due, or of `amount` minor units."""
        due = account(job).due if amount is None else amount
        if due:
            paid = paying.Paid(kind, way, due, timezone.localdate())
            paying.note_payment(job, paid, f"cast-{job.pk}-{job.payments.count()}", self.technician)

    def send_back(self, job: Job, carrier: str = "", tracking: str = "") -> None:
        """Paid, and then sent home."""
        self.pay(job)
        working.send_back(job, self.technician, carrier, tracking)

    def _examine_and_quote(self, job: Job) -> None:
        self.post_finding(job)
        finding.answer_story(job, "No. A loose screw had jammed the gears.", self.technician)
        today = timezone.localdate()
        promising.promise(
            job, today + timedelta(days=16), today + timedelta(days=27), self.technician, "if you answer soon"
        )
        self.send_quote(job)

    def finish(self, job: Job) -> Job:
        """From the bench to ready and paid and into the post."""
        job.refresh_from_db()
        if job.stage == Stage.AGREED:
            working.start_work(job, self.technician)
        if job.stage == Stage.IN_WORK:
            working.start_proving(job, self.technician)
        working.prove(job, [working.Tested("transport", True, "Even gaps.")], self.technician)
        self.send_back(job)
        return job

    def home(self, job: Job | None = None) -> Job:
        """A job that is back with its owner, warranty begun."""
        job = job or self.job_at(Stage.RETURNED)
        working.deliver(job, self.technician)
        return job


def make_cast(**workshop: Any) -> Cast:
    house = {
        "name": "Tidewater Camera Works",
        "place": "Saltmere",
        "address": "1 Slipway\nSaltmere",
        "telephone": "01632 960100",
        "email": "bench@tidewater.example",
        "signed_by": "Hester Quill",
        "hours": "Tuesday to Saturday, 10 to 5",
        "currency": "GBP",
        "tax_mode": TaxMode.INCLUDED,
        "tax_name": "VAT",
        "tax_rate_bp": 2000,
        "assessment_fee": 2500,
        "carriage_fee": 1200,
        # Letters go at once, whatever the clock of the machine says. Tests of hours and of gathering say otherwise.
        "digest_minutes": 0,
        "quiet_from": time(0),
        "quiet_until": time(0),
        "work_days": list(range(7)),
        **workshop,
    }
    lay_usual_plans()
    return Cast(
        Workshop.objects.create(**house),
        Staff.objects.create_user(
            "hester",
            "hester@tidewater.example",
            "a-long-password-1",
            first_name="Hester",
            last_name="Quill",
            role="owner",
        ),
        Staff.objects.create_user(
            "jory",
            "jory@tidewater.example",
            "a-long-password-2",
            first_name="Jory",
            last_name="Pell",
            role="technician",
        ),
    )


__all__ = ["Cast", "Customer", "make_cast"]
