"""Check this document: whether a PDF is one that we made, byte for byte. The file is hashed and let go; nothing in it is opened."""

from dataclasses import dataclass

from django import forms
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.csrf import csrf_exempt, csrf_protect
from django.views.decorators.http import require_http_methods

from jobs import refs
from jobs.models import Decision, Paper, Quote
from portal.access import for_everyone
from portal.hashing import Hashed, Hasher
from portal.limits import network, take

MOST_BYTES = 10_000_000
CHECKS, CHECKS_SECONDS = 30, 3600  # from one network
PDF = b"%PDF-"
DOCUMENTS = (Paper.Kind.ANSWER, Paper.Kind.WARRANTY)


@dataclass(frozen=True)
class Verdict:
    """`heading` and what more there is to say. No names and no sums: whoever holds a file need not be whom it is about."""

    heading: str
    said: str
    sha256: str
    is_ours: bool = False


class DocumentForm(forms.Form):
    document = forms.FileField(
        label=gettext_lazy("The PDF"),
        help_text=gettext_lazy("Up to 10 MB. We work out its fingerprint and keep nothing of it."),
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": "application/pdf,.pdf"}),
        error_messages={
            "required": gettext_lazy("Choose the PDF first."),
            "invalid": gettext_lazy("Choose the PDF first."),
        },
    )

    def clean_document(self) -> Hashed:
        file: Hashed = self.cleaned_data["document"]
        if not file.sha256:
            raise ValidationError(_("This file is larger than 10 MB. No document of ours is."))
        if file.head != PDF:
            raise ValidationError(_("This is not a PDF. Choose the file that came with our letter."))
        return file


@require_http_methods(["GET", "HEAD", "POST"])
@for_everyone
@csrf_exempt  # only until the upload is told to keep nothing; `_checked` asks for the token
def check_document(request: HttpRequest) -> HttpResponse:
    request.upload_handlers = [Hasher(MOST_BYTES, request)]
    return _checked(request)


@csrf_protect
def _checked(request: HttpRequest) -> HttpResponse:
    if request.method != "POST":
        return _page(request, DocumentForm())
    if not take(f"check:{network(request)}", CHECKS, CHECKS_SECONDS):
        return render(request, "door/too_often.html", status=429)
    form = DocumentForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, form, status=422)
    return _page(request, DocumentForm(), judge(form.cleaned_data["document"]))


def judge(file: Hashed) -> Verdict:
    """Ours and unaltered; or not, and what it claims to be where it bears a fingerprint of ours."""
    paper = (
        Paper.objects.filter(sha256=file.sha256, kind__in=DOCUMENTS)
        .defer("body")
        .select_related("job", "decision__quote__job")
        .first()
    )
    if paper:
        return Verdict(_("Unaltered."), _ours(paper), file.sha256, is_ours=True)
    if claimed := Decision.objects.filter(record_hash__in=file.fingerprints).exclude(record_hash="").first():
        return _not_ours(file, claimed.quote)
    if offered := Quote.objects.filter(shown_hash__in=file.fingerprints).exclude(shown_hash="").first():
        if hasattr(offered, "decision") and not offered.decision.record_hash:
            return _not_ours(file, offered)
        return Verdict(_("We cannot say."), _offer(offered), file.sha256)
    return _not_ours(file, None)


def _ours(paper: Paper) -> str:
    words = {"day": _day(paper.made_at), "ref": paper.job.shown_ref}
    if paper.decision is None:
        return _("We made this on %(day)s for job %(ref)s: its warranty.") % words
    words["what"] = _answered(paper.decision)
    return _("We made this on %(day)s for job %(ref)s: %(what)s.") % words


def _answered(decision: Decision) -> str:
    words = {"n": decision.quote.n, "day": _day(decision.at)}
    if decision.way == Decision.Way.TELEPHONE:
        return _("quote %(n)s, answered by telephone on %(day)s and noted by us") % words
    return _("quote %(n)s, answered on the page on %(day)s") % words


def _offer(quote: Quote) -> str:
    return _(
        "It bears the fingerprint of quote %(n)s of job %(ref)s, as an offer. "
        "Of offers we keep no copies, only of answers, so we cannot tell whether it was changed."
    ) % {"n": quote.n, "ref": refs.show(quote.job.ref)}


def _not_ours(file: Hashed, claimed: Quote | None) -> Verdict:
    said = ""
    if claimed:
        said = _(
            "It claims to be %(what)s, for job %(ref)s, but its bytes differ from those of our copy."
        ) % {
            "what": _answered(claimed.decision),
            "ref": refs.show(claimed.job.ref),
        }
    return Verdict(_("This is not a copy that we made, or it was changed."), said, file.sha256)


def _day(at: object) -> str:
    return date_format(localtime(at), _("j F Y"))


def _page(
    request: HttpRequest, form: DocumentForm, verdict: Verdict | None = None, status: int = 200
) -> HttpResponse:
    return render(request, "door/document.html", {"form": form, "verdict": verdict}, status=status)
