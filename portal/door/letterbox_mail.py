"""One letter of the letterbox, and an answer to it, as its reader's mail program would send one."""

from csp.decorators import csp_update
from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST, require_safe

from notifications import demo_answers
from notifications.replies.asking import LONGEST_ANSWER
from portal.access import for_everyone, in_staff_language
from portal.answers import go, status
from portal.door.letterbox import Kept, in_the_demo, whole
from portal.mail_view import SANDBOX
from portal.office.forms import Plain


class AnswerForm(Plain):
    missing = {"text": gettext_lazy("Nothing is written here yet. Write a sentence, then send it.")}
    text = forms.CharField(
        label=gettext_lazy("Your answer"),
        help_text=gettext_lazy(
            "It goes to the bench as a message, with the letter quoted below it. The quotation is taken off there again."
        ),
        max_length=LONGEST_ANSWER,
        widget=forms.Textarea(attrs={"rows": 5, "autocomplete": "off"}),
    )


@require_safe
@for_everyone
@in_staff_language
@in_the_demo
@csp_update({"frame-src": ["'self'"]})
def letterbox_mail(request: HttpRequest, name: str) -> HttpResponse:
    return _page(request, whole(name), AnswerForm())


@require_POST
@for_everyone
@in_staff_language
@in_the_demo
@csp_update({"frame-src": ["'self'"]})
def letterbox_answer(request: HttpRequest, name: str) -> HttpResponse:
    """What becomes of it is decided where messages are taken in; here it is only sent."""
    letter = whole(name)
    if not demo_answers.can_be_answered(letter.mail):
        raise Http404
    form = AnswerForm(request.POST)
    if not form.is_valid():
        return _page(request, letter, form)
    demo_answers.send(letter.mail, form.cleaned_data["text"])
    # Back to the top, where it is said; a browser would keep the place of the form, to which its action leads (#wrongs).
    return go(request, f"{reverse('letterbox_mail', args=[name])}#main", _said())


def _said() -> str:
    return _(
        "Your answer is on its way to the bench. In a few seconds it stands with the questions of its repair, on the customer’s page and"
        " at the bench. What fits no repair waits in the office, under letters to us."
    )


def _page(request: HttpRequest, letter: Kept, form: AnswerForm) -> HttpResponse:
    told = {
        "letter": letter,
        "sandbox": SANDBOX,
        "form": form if demo_answers.can_be_answered(letter.mail) else None,
    }
    return render(request, "door/letterbox_mail.html", told, status=status(form))
