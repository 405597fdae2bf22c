import pytest
from django.test import Client

from jobs.models import Workshop
from jobs.words import Stage
from notifications.mailbox import mailbox
from notifications.models import MailAccount
from tests.cast import Cast
from tests.portal.conftest import Visitor
from tests.services import Sink

pytestmark = pytest.mark.django_db

HOUSE = {
    "name": "Tidewater Camera Works",
    "place": "Saltmere",
    "address": "2 Slipway\nSaltmere",
    "time_zone": "Europe/London",
    "currency": "GBP",
    "tax_mode": "added",
    "tax_name": "VAT",
    "tax_rate_bp": "17.5",
    "quote_days": "21",
    "nudge_days": "2, 5",
    "assessment_fee": "£30",
    "carriage_fee": "12.50",
    "warranty_months": "6",
}


@pytest.fixture
def owner(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


def mail(sink: Sink, **more: str) -> dict[str, str]:
    where = {"host": "127.0.0.1", "port": str(sink.controller.port), "security": "none"}
    return where | {"from_address": "bench@example.org"} | more


def test_the_workshop_is_changed(owner: Client) -> None:
    assert owner.post("/office/settings/", HOUSE).status_code == 303
    house = Workshop.objects.get()
    assert (house.tax_mode, house.tax_rate_bp, house.nudge_days) == ("added", 1750, [2, 5])
    assert (house.assessment_fee, house.carriage_fee, house.warranty_months) == (3000, 1250, 6)


def test_what_is_shown_can_be_sent_back_unchanged(owner: Client) -> None:
    """The form reads its own figures: percentages, money and days go out and come in the same."""
    before = Workshop.objects.values().get()
    form = owner.get("/office/settings/").context["form"]
    told = {name: form[name].value() if form[name].value() is not None else "" for name in form.fields}
    fields = {name: form.fields[name].prepare_value(value) for name, value in told.items()}
    assert owner.post("/office/settings/", fields).status_code == 303
    assert Workshop.objects.values().get() == before


@pytest.mark.parametrize(
    ("slip", "sentence"),
    [
        ({"assessment_fee": "a lot"}, "That is not an amount of money. Type it as 85 or 85.50."),
        ({"assessment_fee": "-5"}, "less than nothing"),
        ({"carriage_fee": "1.005"}, "at most 2 places after the point"),
        ({"nudge_days": "7, 3"}, "Each day comes after the one before"),
        ({"nudge_days": "soon"}, "Write whole days"),
        ({"nudge_days": "1,2,3,4,5,6"}, "Five reminders are the most"),
        ({"quote_days": "0"}, "greater than or equal to 1"),
        ({"tax_name": ""}, "What is the tax called?"),
        ({"name": ""}, "What is the workshop called?"),
    ],
)
def test_a_slip_is_told_and_nothing_is_changed(owner: Client, slip: dict[str, str], sentence: str) -> None:
    answer = owner.post("/office/settings/", HOUSE | slip)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert Workshop.objects.get().address == "1 Slipway\nSaltmere"


def test_no_nudge_days_means_never_by_itself(owner: Client) -> None:
    owner.post("/office/settings/", HOUSE | {"nudge_days": ""})
    assert Workshop.objects.get().nudge_days == []


def test_the_currency_stays_once_there_is_a_quote(owner: Client, cast: Cast) -> None:
    cast.job_at(Stage.QUOTED)
    answer = owner.post("/office/settings/", HOUSE | {"currency": "EUR"})
    assert answer.status_code == 422
    assert "There are quotes in GBP already" in answer.content.decode()


def test_the_mailbox_is_kept_and_its_password_never_comes_back(owner: Client, sink: Sink) -> None:
    owner.post("/office/settings/mailbox/", mail(sink, user="bench", mail_password="a mailbox secret"))
    assert mailbox().password == "a mailbox secret"
    assert "a mailbox secret" not in owner.get("/office/settings/").content.decode()


def test_an_empty_password_keeps_the_one_there_is(owner: Client, sink: Sink) -> None:
    owner.post("/office/settings/mailbox/", mail(sink, user="bench", mail_password="a mailbox secret"))
    owner.post("/office/settings/mailbox/", mail(sink, user="bench", mail_password=""))
    assert mailbox().password == "a mailbox secret"


def test_the_kept_password_is_not_shown_to_another_server(owner: Client, sink: Sink) -> None:
    from portal.office.forms import MailForm
    from portal.office.house import _kept_password

    owner.post("/office/settings/mailbox/", mail(sink, user="bench", mail_password="a mailbox secret"))
    for told, expected in (({}, "a mailbox secret"), ({"host": "elsewhere.example"}, "")):
        form = MailForm(mail(sink, user="bench") | told)
        assert form.is_valid()
        assert _kept_password(form) == expected


def test_emptying_it_goes_back_to_the_machines_mail_server(owner: Client, sink: Sink) -> None:
    owner.post("/office/settings/mailbox/", mail(sink))
    owner.post("/office/settings/mailbox/", {"port": "587", "security": "starttls"})
    assert not MailAccount.objects.exists()


def test_a_test_letter_keeps_nothing(owner: Client, sink: Sink) -> None:
    answer = owner.post("/office/settings/mailbox/", mail(sink, test="1"))
    assert "The letter went out." in answer.content.decode()
    assert sink.recipients == ["bench@tidewater.example"]
    assert not MailAccount.objects.exists()


def test_a_half_filled_mailbox_is_told_beside_its_fields(owner: Client) -> None:
    answer = owner.post("/office/settings/mailbox/", {"host": "smtp.example.org"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Which address do letters come from?" in page
    assert "smtp.example.org" in page
