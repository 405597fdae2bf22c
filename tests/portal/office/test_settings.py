import pytest
from django.test import Client

from jobs.models import Workshop
from jobs.words import Stage
from notifications.mailbox import mailbox
from notifications.models import MailAccount
from portal.office.settings_forms import SettingsForm
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
    "assessment_fee": "£30",
    "carriage_fee": "12.50",
    "warranty_months": "6",
    "again_rule": "anew",
    "again_months": "4",
    "hour_price": "£62.50",
    "credits_assessment": "on",
    "deposit_bp": "30",
    "account_words": "Cash or card at the counter.",
    "account_holder": "Tidewater  Camera Works",
    "iban": "be49 9990 0000 0171",
    "bic": "sltmbebbxxx",
    "pay_link": "https://pay.example.org/{reference}?sum={amount}",
    "code_above": "500",
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
    assert (house.tax_mode, house.tax_rate_bp) == ("added", 1750)
    assert (house.assessment_fee, house.carriage_fee, house.warranty_months) == (3000, 1250, 6)
    assert (house.hour_price, house.credits_assessment, house.deposit_bp) == (6250, True, 3000)
    assert (house.account_holder, house.iban, house.bic) == (
        "Tidewater Camera Works",
        "BE49999000000171",
        "SLTMBEBBXXX",
    )
    assert house.pay_link == "https://pay.example.org/{reference}?sum={amount}"
    assert (house.code_above, house.code_for_new_devices) == (50000, False)
    assert (house.again_rule, house.again_months) == ("anew", 4)


@pytest.mark.parametrize("filled", [False, True])
def test_what_is_shown_can_be_sent_back_unchanged(owner: Client, filled: bool) -> None:
    """The form reads its own figures: percentages, money, days and accounts go out and come in the same."""
    if filled:
        owner.post("/office/settings/", HOUSE | {"code_for_new_devices": "on"})
    before = Workshop.objects.values().get()
    house = Workshop.objects.get()
    form = SettingsForm(initial=vars(house), currency=house.currency)
    told = {name: form[name].value() if form[name].value() is not None else "" for name in form.fields}
    fields = {name: form.fields[name].prepare_value(value) for name, value in told.items()}
    fields = {name: "" if value in (None, False) else value for name, value in fields.items()}
    assert owner.post("/office/settings/", fields).status_code == 303
    assert Workshop.objects.values().get() == before


@pytest.mark.parametrize(
    ("slip", "sentence"),
    [
        ({"assessment_fee": "a lot"}, "That is not an amount of money. Type it as 85 or 85.50."),
        ({"assessment_fee": "-5"}, "less than nothing"),
        ({"carriage_fee": "1.005"}, "at most 2 places after the point"),
        ({"quote_days": "0"}, "Type a whole number from 1 to 365."),
        ({"tax_name": ""}, "What is the tax called?"),
        ({"name": ""}, "What is the workshop called?"),
        ({"hour_price": "€60"}, "Amounts are in GBP here."),
        ({"hour_price": "1e3"}, "That is not an amount of money."),
        ({"deposit_bp": "130"}, "A rate lies between 0 and 100."),
        ({"deposit_bp": "a third"}, "Write the rate as a number"),
        ({"iban": "BE50 9990 0000 0171"}, "That is no IBAN."),
        ({"iban": "12345678"}, "That is no IBAN."),
        ({"bic": "BANK"}, "That is no BIC."),
        ({"account_holder": ""}, "Whose account is it?"),
        ({"account_holder": "Tide\u200bwater"}, "a sign in it that nobody can see"),
        ({"iban": ""}, "A BIC alone leads nowhere."),
        ({"pay_link": "http://pay.example.org/"}, "Only an address that begins with https://"),
        ({"pay_link": "javascript:alert(1)"}, "Only an address that begins with https://"),
        ({"pay_link": "https://bank.example@evil.example/"}, "Only an address that begins with https://"),
        ({"pay_link": "https://pay.example.org/{card}"}, "Only {reference} and {amount} can be filled in."),
        ({"pay_link": "https://pay example.org/"}, "That is no address."),
        ({"code_above": "-1"}, "less than nothing"),
        ({"code_above": "99999999999"}, "more than any repair costs"),
        ({"again_rule": "for ever"}, "Press one of these."),
        ({"again_rule": ""}, "This has to be filled in."),
        ({"again_months": "-1"}, "Type a whole number from 0 to 120."),
        ({"again_months": "999"}, "Type a whole number from 0 to 120."),
    ],
)
def test_a_slip_is_told_and_nothing_is_changed(owner: Client, slip: dict[str, str], sentence: str) -> None:
    answer = owner.post("/office/settings/", HOUSE | slip)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert Workshop.objects.get().address == "1 Slipway\nSaltmere"


def test_what_was_typed_wrongly_is_kept(owner: Client) -> None:
    page = owner.post("/office/settings/", HOUSE | {"iban": "BE73 0000", "code_above": "-1"}).text
    assert 'value="BE73 0000"' in page
    assert 'value="-1"' in page


def test_an_iban_is_shown_in_groups_of_four(owner: Client) -> None:
    owner.post("/office/settings/", HOUSE)
    assert 'value="BE49 9990 0000 0171"' in owner.get("/office/settings/").text


def test_a_code_for_every_sum_and_for_none_are_two_things(owner: Client) -> None:
    for typed, kept in (("0", 0), ("", None)):
        owner.post("/office/settings/", HOUSE | {"code_above": typed})
        assert Workshop.objects.get().code_above == kept


def test_every_field_of_the_settings_stands_on_the_page(owner: Client) -> None:
    page = owner.get("/office/settings/").text
    for name in SettingsForm(currency="GBP").fields:
        assert f'name="{name}"' in page, name


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
    from portal.office.house import _kept_password
    from portal.office.mailbox_forms import MailForm

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
