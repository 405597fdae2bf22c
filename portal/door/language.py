"""The visitor chooses a language; the browser keeps it. A customer's own page keeps it with the customer instead."""

from django import forms
from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_POST

from portal import languages
from portal.access import for_everyone
from portal.answers import see_other

LONGEST_ADDRESS = 2000


class LanguageForm(forms.Form):
    """Which language, and the page to go back to."""

    language = forms.ChoiceField(
        choices=languages.offered,
        error_messages={name: _("Choose one of these languages.") for name in ("required", "invalid_choice")},
    )
    next = forms.CharField(required=False, max_length=LONGEST_ADDRESS)


@require_POST
@for_everyone
def choose_language(request: HttpRequest) -> HttpResponse:
    """Keep it in a cookie and go back to where it was chosen."""
    form = LanguageForm(request.POST)
    if not form.is_valid():
        return refused(request, form)
    return keep(see_other(request, back(request, form, "/")), form.cleaned_data["language"])


def refused(request: HttpRequest, form: LanguageForm) -> HttpResponse:
    return render(request, "door/language.html", {"form": form, "back": back(request, form, "/")}, status=422)


def back(request: HttpRequest, form: LanguageForm, otherwise: str) -> str:
    """The page of ours that the choice stood on, if it lies below `otherwise`; else `otherwise`."""
    page = str(form.data.get("next", ""))[:LONGEST_ADDRESS]
    ours = url_has_allowed_host_and_scheme(page, allowed_hosts=None, require_https=request.is_secure())
    return page if ours and page.startswith(otherwise) else otherwise


def keep(response: HttpResponse, language: str) -> HttpResponse:
    response.set_cookie(
        settings.LANGUAGE_COOKIE_NAME,
        language,
        max_age=settings.LANGUAGE_COOKIE_AGE,
        secure=settings.LANGUAGE_COOKIE_SECURE,
        httponly=settings.LANGUAGE_COOKIE_HTTPONLY,
        samesite=settings.LANGUAGE_COOKIE_SAMESITE,
    )
    return response
