"""The owner's own paragraph in each kind of letter, with the letter beside it as it will read."""

from csp.decorators import csp_update
from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_safe

from notifications import own_words, previews
from notifications.models import OwnWords
from portal import languages
from portal.access import for_owner
from portal.answers import see_other, status
from portal.mail_view import SANDBOX, framed
from portal.office.forms import Plain


class WordsForm(Plain):
    text = forms.CharField(
        label=gettext_lazy("Your own paragraph"),
        max_length=own_words.LONGEST,
        required=False,
        widget=forms.Textarea(attrs={"rows": 7}),
        help_text=gettext_lazy(
            "It stands above the button of every such letter. Letters that wait already stay as they are. Empty: nothing is added."
        ),
    )

    def clean_text(self) -> str:
        text: str = self.cleaned_data["text"]
        if own_words.holds_an_address(text):
            raise ValidationError(
                _("Letters lead to the customer’s own page and nowhere else. Leave web addresses out.")
            )
        return text


@require_safe
@for_owner
def office_words(request: HttpRequest) -> HttpResponse:
    """All kinds of letters, what each is for, and in which languages it has words of the owner's."""
    own = {(row.kind, row.language): row.text for row in OwnWords.objects.all()}
    rows = [
        (
            kind,
            own_words.about(kind),
            [(code, name, own.get((kind, code), "")) for code, name in languages.offered()],
        )
        for kind in own_words.kinds()
    ]
    return render(request, "office/words.html", {"here": "office", "tab": "settings", "rows": rows})


@require_http_methods(["GET", "HEAD", "POST"])
@for_owner
@csp_update({"frame-src": ["'self'"]})
def office_words_of(request: HttpRequest, kind: str, spoken: str) -> HttpResponse:
    _check(kind, spoken)
    kept = {"text": own_words.words_for(kind, spoken)}
    form = WordsForm(request.POST) if request.method == "POST" else WordsForm(initial=kept)
    if request.method == "POST" and form.is_valid():
        own_words.keep(kind, spoken, form.cleaned_data["text"])
        messages.success(request, _("Kept. Letters that are written from now on have it."))
        return see_other(request, reverse("office_words_of", args=[kind, spoken]))
    told = {
        "here": "office",
        "tab": "settings",
        "form": form,
        "kind": kind,
        "about": own_words.about(kind),
        "spoken": spoken,
        "languages": languages.offered(),
        "sandbox": SANDBOX,
    }
    return render(request, "office/words_of.html", told, status=status(form))


@require_http_methods(["GET", "HEAD", "POST"])
@for_owner
def office_words_letter(request: HttpRequest, kind: str, spoken: str) -> HttpResponse:
    """The letter for the frame: with the words that are kept, or (POST) with those that are typed. Keeps nothing."""
    _check(kind, spoken)
    typed = request.POST.get("text", "")[: own_words.LONGEST] if request.method == "POST" else None
    own = own_words.words_for(kind, spoken) if typed is None else typed
    shown, images = previews.sample(kind, spoken, own)
    return framed(shown.html, images)


def _check(kind: str, spoken: str) -> None:
    if kind not in own_words.kinds() or not languages.is_offered(spoken):
        raise Http404
