"""The workshop itself and who works in it: opened once, changed later, people taken on and let go."""

import secrets
from collections.abc import Mapping

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from jobs.actions.chase_plans import lay_usual_plans
from jobs.actions.refusals import Refused
from jobs.models import Quote, Staff, Workshop
from jobs.places import holidays_of

# There is one workshop, and its row has this key: of two first runs at the same moment one fails.
THE_ONE = 1


def open_house(
    house: Mapping[str, object], *, username: str, full_name: str, email: str, password: str
) -> Staff:
    """Make the workshop (`house`: fields of Workshop) and its owner. Raises Refused when there is one already.

    Its public holidays are those of its time zone's country, until the owner says otherwise.
    """
    owner = Staff(username=username, email=email, role=Staff.Role.OWNER)
    _name(owner, full_name)
    _check_password(password, owner)
    try:
        with transaction.atomic():
            if Workshop.objects.exists():
                raise Refused(_("This workshop has been set up already."))
            workshop = Workshop(pk=THE_ONE, **house)
            workshop.holidays_in = workshop.holidays_in or holidays_of(workshop)
            workshop.save(force_insert=True)
            lay_usual_plans()
            # Owners may also use Django's admin, where a setting opens it for an emergency.
            owner.is_staff = owner.is_superuser = True
            owner.set_password(password)
            owner.save(force_insert=True)
    except IntegrityError as clash:
        raise Refused(_("This workshop has been set up already.")) from clash
    return owner


def change_house(house: Workshop, changes: Mapping[str, object]) -> None:
    """Change the workshop's row. Sent quotes keep the tax and currency they were sent with.

    Raises Refused for another currency once there is a quote: sums of two currencies cannot be added up.
    """
    if changes.get("currency", house.currency) != house.currency and Quote.objects.exists():
        raise Refused(
            _("There are quotes in %(old)s already, so it stays.") % {"old": house.currency}, "currency"
        )
    for name, value in changes.items():
        setattr(house, name, value)
    house.save(update_fields=list(changes))


def hire(*, username: str, full_name: str, email: str, role: str) -> tuple[Staff, str]:
    """Take somebody on. Returns them with a password to hand over: the only time that it can be seen."""
    member = Staff(username=username, email=email, role=role)
    _name(member, full_name)
    password = draw_password()
    member.set_password(password)
    try:
        with transaction.atomic():
            member.is_staff = member.is_superuser = member.is_owner
            member.save(force_insert=True)
    except IntegrityError as clash:
        raise Refused(_("Somebody logs in with this name already."), "username") from clash
    return member, password


def give_role(member: Staff, role: str) -> None:
    """Technician or owner. Raises Refused when nobody would be left who owns the workshop."""
    owns = role == Staff.Role.OWNER
    with transaction.atomic():
        if not owns:
            _keep_an_owner(member)
        Staff.objects.filter(pk=member.pk).update(role=role, is_staff=owns, is_superuser=owns)


def let_go(member: Staff) -> None:
    """They cannot log in any more, from this moment on. What they did stays theirs. Raises Refused for the last owner."""
    with transaction.atomic():
        _keep_an_owner(member)
        Staff.objects.filter(pk=member.pk).update(is_active=False)


def take_back(member: Staff) -> None:
    """They may log in again."""
    Staff.objects.filter(pk=member.pk).update(is_active=True)


def new_password(member: Staff) -> str:
    """Give them another password and return it. It ends their sessions everywhere."""
    password = draw_password()
    member.set_password(password)
    member.save(update_fields=["password"])
    return password


def draw_password() -> str:
    """80 bits in four groups that can be read out over the bench: no l, o, 0 or 1."""
    signs = "abcdefghijkmnpqrstuvwxyz23456789"
    return "-".join("".join(secrets.choice(signs) for _ in range(4)) for _ in range(4))


def _keep_an_owner(member: Staff) -> None:
    # Locked in one order, so that of two owners who show each other out at the same moment one succeeds.
    owners = Staff.objects.select_for_update().filter(role=Staff.Role.OWNER, is_active=True).order_by("pk")
    if [owner.pk for owner in owners] == [member.pk]:
        raise Refused(_("This is the only owner. Make somebody else an owner first."))


def _name(member: Staff, full_name: str) -> None:
    first, _space, last = full_name.strip().partition(" ")
    member.first_name, member.last_name = first[:150], last.strip()[:150]


def _check_password(password: str, member: Staff) -> None:
    try:
        validate_password(password, member)
    except ValidationError as weak:
        raise Refused(" ".join(weak.messages), "password") from weak
