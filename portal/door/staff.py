"""The staff's door: in with a password, out, and a new password."""

from typing import Any

from django import forms
from django.contrib import auth, messages
from django.contrib.auth import update_session_auth_hash, views
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST

from jobs.models import Workshop
from portal.access import for_everyone, for_staff, in_staff_language
from portal.answers import see_other
from portal.limits import network, take

WINDOW = 15 * 60  # seconds
# Tries in a window. An account at one address is a person who mistypes; one address is a machine that guesses; one account from
# many addresses is a slow attack, and its limit is wide so that nobody can lock another out by guessing for them.
PAIR, ADDRESS, ACCOUNT = 8, 30, 100


class LoginForm(AuthenticationForm):
    """Name and password. Too many tries: one sentence that says how long to wait, whoever asks."""

    error_messages = {
        "invalid_login": gettext_lazy("That name and password do not go together. Capitals count."),
        "inactive": gettext_lazy("That name and password do not go together. Capitals count."),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = _("Name you log in with")
        self.label_suffix = ""

    def clean(self) -> dict[str, Any]:
        if not self._may_try():
            raise ValidationError(
                _("Too many tries. Wait a quarter of an hour, then try again."), code="too_often"
            )
        return super().clean()

    def _may_try(self) -> bool:
        name = str(self.cleaned_data.get("username", "")).casefold()
        here = network(self.request)
        limits = {f"login:{name}:{here}": PAIR, f"login-from:{here}": ADDRESS, f"login-as:{name}": ACCOUNT}
        return all(take(key, limit, WINDOW) for key, limit in limits.items())


class Login(views.LoginView):
    template_name = "door/login.html"
    authentication_form = LoginForm
    redirect_authenticated_user = True

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        super().form_valid(form)
        return see_other(self.request, self.get_success_url())

    def form_invalid(self, form: AuthenticationForm) -> HttpResponse:
        too_often = any(error.code == "too_often" for error in form.non_field_errors().as_data())
        response = self.render_to_response(self.get_context_data(form=form))
        response.status_code = 429 if too_often else 422
        return response


@require_http_methods(["GET", "HEAD", "POST"])
@for_everyone
@in_staff_language
def login(request: HttpRequest) -> HttpResponse:
    """Before the first run there is nobody to log in."""
    if request.method != "POST" and Workshop.objects.current() is None:
        return see_other(request, reverse("first_run"))
    return Login.as_view()(request)


@require_POST
@for_everyone
def logout(request: HttpRequest) -> HttpResponse:
    auth.logout(request)
    return see_other(request, reverse("home"))


class NewPassword(PasswordChangeForm):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.label_suffix = ""
        self.fields["old_password"].label = _("Your present password")
        self.fields["new_password1"].label = _("The new one")
        self.fields["new_password1"].help_text = _(
            "Twelve signs or more. A few words that only you would put together are best."
        )
        self.fields["new_password2"].label = _("The new one once more")
        self.fields["new_password2"].help_text = ""


@require_http_methods(["GET", "HEAD", "POST"])
@for_staff
def password(request: HttpRequest) -> HttpResponse:
    """A new password for whoever is logged in. It ends their sessions on every other device."""
    form: forms.Form = NewPassword(request.user, request.POST or None)
    if request.method != "POST":
        return render(request, "door/password.html", {"form": form})
    if not take(f"password:{request.user.pk}", PAIR, WINDOW):
        return render(request, "door/too_often.html", status=429)
    if not form.is_valid():
        return render(request, "door/password.html", {"form": form}, status=422)
    update_session_auth_hash(request, form.save())
    messages.success(request, _("Your password is changed. Other devices are logged out."))
    return see_other(request, reverse("bench"))
