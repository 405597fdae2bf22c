"""Is this covered? Asked in a customer's own words, or by a sentence that is pressed. Asking opens nothing and is kept nowhere."""

from dataclasses import dataclass, replace
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from jobs import collection
from jobs.covering import Answer, Noticed, Promise, Ruling, rule
from jobs.covering_words import rests_on, sentence
from jobs.models import Job
from jobs.noticing import Choice, accident_choices, accident_in, choices, from_words, of_accident, pressed
from portal.customer.forms import ClaimForm, QuestionForm

MOST_WORDS = 400
MOST_ROWS = 12  # sentences offered in all, accidents not counted: more nobody reads
ELSE = "else"


class CoveredForm(forms.Form):
    """A sentence to press, or a few words. It goes by POST, so that no log and no history keeps what somebody says."""

    use_required_attribute = False

    noticed = forms.ChoiceField(
        label=_lazy("What do you notice?"),
        widget=forms.RadioSelect,
        required=False,
        error_messages={
            "invalid_choice": _lazy("Choose one of these, or say it in your own words."),
        },
    )
    words = forms.CharField(
        label=_lazy("In your own words"),
        required=False,
        max_length=MOST_WORDS,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={
            "max_length": _lazy("Keep it to %(limit_value)d letters here. A claim has room for all of it.")
        },
    )

    def __init__(self, offered: list[Choice], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.offered = offered
        sentences = {each.key: each.text for each in offered} | accident_choices()
        self.sentences = sentences
        self.fields["noticed"].choices = [*sentences.items(), (ELSE, _("Something else"))]

    def clean(self) -> dict[str, Any]:
        told = super().clean() or self.cleaned_data
        if self.errors or told.get("words"):
            return told
        if not told.get("noticed"):
            self.add_error("noticed", _("Choose one of these, or say it in your own words."))
        elif told["noticed"] == ELSE:
            self.add_error("words", _("Say in a few words what it is."))
        return told

    def noticed_now(self, job: Job) -> Noticed:
        """What a valid form says. An accident in the words counts also beside a sentence that was pressed."""
        key, words = self.cleaned_data["noticed"], self.cleaned_data["words"]
        said = of_accident(key) or pressed(key, self.offered)
        if said is None:
            return from_words(words, job.item.traits, collection.entries())
        return said if said.accident else replace(said, accident=accident_in(words))

    def in_words(self) -> str:
        """The same as the customer would say it."""
        told = self.cleaned_data
        first = self.sentences.get(told["noticed"], "")
        if first and told["words"] and not first.endswith((".", "!", "?")):
            first = f"{first}."
        return f"{first} {told['words']}".strip()


def offer(promises: list[Promise], job: Job) -> list[Choice]:
    """Sentences to press: fewer for each promise where there are many."""
    most = max(1, min(3, MOST_ROWS // max(1, len(promises))))
    return choices(promises, job.item.traits, collection.entries(), most)[:MOST_ROWS]


@dataclass(frozen=True)
class Answered:
    """One answer, as the page shows it: what was asked, what we say, on what that rests, and the forms that go on from it."""

    asked: str
    ruling: Ruling
    sentence: str
    rests_on: str
    claim: ClaimForm
    question: QuestionForm

    @property
    def kind(self) -> str:
        return self.ruling.kind.value

    @property
    def is_no(self) -> bool:
        return self.ruling.kind == Answer.NO


def answer(form: CoveredForm, promises: list[Promise], job: Job) -> Answered:
    """What looks to be the case today. `form` is valid."""
    today = timezone.localdate()
    ruling, asked = rule(promises, form.noticed_now(job), today), form.in_words()
    claim = ClaimForm(initial={"story": asked}, auto_id="answer_%s")
    claim.fields["story"].label, claim.fields["story"].help_text = _("Tell us this, or more"), ""
    return Answered(
        asked=asked,
        ruling=ruling,
        sentence=sentence(ruling, today),
        rests_on=rests_on(ruling),
        claim=claim,
        question=QuestionForm(initial={"text": asked}, auto_id="question_%s"),
    )
