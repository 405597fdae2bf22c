"""Money that changed hands, noted at the bench or in the office: a form, the account, and what was noted by mistake taken back."""

import re
from dataclasses import dataclass
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from jobs.accounts import Account, account
from jobs.actions.paying import MOST, Paid, note_payment, undo_payment
from jobs.models import Job, Payment, Released, Workshop
from jobs.money import show as show_money
from jobs.paying import show_reference
from jobs.ways_to_pay import reference_of
from jobs.words import PaymentKind, PaymentWay
from portal.access import for_staff
from portal.accounts import shown
from portal.answers import carried_out, go, status
from portal.bench.common import show, with_job
from portal.bench.fields import DayField
from portal.customer.forms import OnceField
from portal.money_field import MoneyField

CARD = re.compile(r"(?<![A-Za-z0-9])[2-6](?:[ -]?[0-9]){12,18}(?![0-9])")
MISSING = gettext_lazy("Press one of these.")


class PaymentForm(forms.Form):
    use_required_attribute = False

    amount = MoneyField(
        label=gettext_lazy("How much"),
        most=MOST,
        error_messages={"required": gettext_lazy("Type how much it was.")},
    )
    way = forms.ChoiceField(
        label=gettext_lazy("How it was paid"),
        choices=PaymentWay.choices,
        widget=forms.RadioSelect,
        error_messages={"required": MISSING, "invalid_choice": MISSING},
    )
    kind = forms.ChoiceField(
        label=gettext_lazy("What it is"),
        choices=PaymentKind.choices,
        widget=forms.RadioSelect,
        error_messages={"required": MISSING, "invalid_choice": MISSING},
    )
    on = DayField(label=gettext_lazy("On which day"))
    note = forms.CharField(
        label=gettext_lazy("A note for ourselves"),
        help_text=gettext_lazy("What stood on the transfer, for example. Never the number of a card."),
        max_length=200,
        required=False,
    )
    once = OnceField()

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        self.fields["amount"].currency = currency
        self.fields["on"].error_messages["required"] = _("Which day was it?")

    def clean_note(self) -> str:
        """No numbers of cards, whoever types them."""
        note: str = self.cleaned_data["note"]
        if has_card_number(note):
            raise forms.ValidationError(_("That looks like the number of a card. It must not be kept here."))
        return note

    def paid(self) -> Paid:
        told = self.cleaned_data
        return Paid(told["kind"], told["way"], told["amount"], told["on"], told["note"])


class UndoForm(forms.Form):
    use_required_attribute = False

    because = forms.CharField(
        label=gettext_lazy("What was wrong with it"),
        max_length=200,
        error_messages={"required": gettext_lazy("Say what was wrong with it.")},
    )


@require_http_methods(["GET", "HEAD", "POST"])
@for_staff
@with_job
def payments(request: HttpRequest, job: Job) -> HttpResponse:
    """The account, and a payment noted. The same form sent twice notes it once."""
    stands = account(job)
    currency = stands.currency or _currency()
    if request.method != "POST":
        return _page(request, job, PaymentForm(initial=first_guess(stands), currency=currency), stands)
    form = PaymentForm(request.POST, currency=currency)
    by = request.actor
    if carried_out(form, lambda: note_payment(job, form.paid(), str(form.cleaned_data["once"]), by)):
        said = _("Noted: %(sum)s.") % {"sum": show_money(form.cleaned_data["amount"], currency)}
        return go(request, reverse("bench_payments", args=[job.ref]), said)
    return _page(request, job, form, stands)


@require_http_methods(["GET", "HEAD", "POST"])
@for_staff
@with_job
def payment_undo(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    """Take back a payment that was noted by mistake, with a reason. Both stay written down."""
    payment = get_object_or_404(Payment.objects.select_related("job"), pk=pk, job=job, reverses=None)
    form = UndoForm(request.POST if request.method == "POST" else None, label_suffix="")
    by = request.actor
    if form.is_bound and carried_out(form, lambda: undo_payment(payment, form.cleaned_data["because"], by)):
        return go(
            request, reverse("bench_payments", args=[job.ref]), _("Taken back. Both stay written down.")
        )
    return show(request, "bench/payment_undo.html", job, status(form), form=form, payment=payment)


@dataclass(frozen=True)
class Noted:
    """A payment as staff see it, with what took it back, if anything did."""

    payment: Payment
    undone: Payment | None


def noted(job: Job) -> list[Noted]:
    """Every payment of a job, the newest first, in one query."""
    rows: QuerySet[Payment] = Payment.objects.filter(job=job, reverses=None).select_related("reversed_by")
    return [Noted(row, getattr(row, "reversed_by", None)) for row in rows.order_by("-on", "-pk")]


def first_guess(stands: Account) -> dict[str, Any]:
    """What the form begins with: the missing deposit, or all that is due, come today; or what is to be given back."""
    told: dict[str, Any] = {
        "on": timezone.localdate(),
        "kind": PaymentKind.PAYMENT,
        "amount": stands.due or None,
    }
    if stands.deposit_due:
        return told | {"kind": PaymentKind.DEPOSIT, "amount": stands.deposit_due}
    if stands.over:
        return told | {"kind": PaymentKind.REFUND, "amount": stands.over}
    return told


def has_card_number(text: str) -> bool:
    """Whether thirteen to nineteen figures in a row pass the checksum of card numbers (ISO/IEC 7812-1, annex B).

    Figures right after a letter are an account or a reference.
    """
    return any(_luhn("".join(filter(str.isdigit, found))) for found in CARD.findall(text))


def _luhn(figures: str) -> bool:
    doubled = [int(figure) * (2 if place % 2 else 1) for place, figure in enumerate(reversed(figures))]
    return sum(each - 9 if each > 9 else each for each in doubled) % 10 == 0


def _page(request: HttpRequest, job: Job, form: PaymentForm, stands: Account) -> HttpResponse:
    reference = reference_of(job)
    context = {
        "form": form,
        "shown": shown(stands),
        "account": stands,
        "payments": noted(job),
        "released": Released.objects.filter(job=job).first(),
        "reference": show_reference(reference) if reference != job.shown_ref else reference,
    }
    return show(request, "bench/payments.html", job, status(form), **context)


def _currency() -> str:
    house = Workshop.objects.current()
    return house.currency if house else "GBP"
