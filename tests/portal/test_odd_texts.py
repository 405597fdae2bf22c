"""Whatever people type is text: in pages, letters, documents and the evidence that is taken along, for one job from end to end."""

import io
import subprocess
import sys
import zipfile

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs import exporting, verifying
from jobs.actions import erasing, quote
from jobs.actions.quote import LineDraft, OutcomeDraft, Sending
from jobs.models import Job, Paper
from jobs.words import Stage
from notifications import message, relay
from notifications.models import Letter
from tests.portal.customer.pages import to
from tests.portal.customer.quotes import chosen

ODD = {
    "markup": "<script>alert(1)</script>",
    "another header": "a\r\nBcc: somebody@example.org",
    "the typesetter's own": "#set page(width:1pt) \\u{41} $x$ `raw` *b* _i_ @ref <label>",
    "backwards": "\u202egnp.exe",
    "a template": "{{ 7 }}{% load nothing %}",
    "no shape": "日本 😀",
    "line ends of all kinds": "a\u2028b\x85c\x1fd",
    "long": "😀" * 120,
    "accents alone": "\u0336" * 100,
}


@pytest.fixture(params=ODD)
def odd(request):
    return ODD[request.param]


@pytest.fixture
def job(cast, odd):
    made = cast.book(name=odd, story=odd, address=odd, maker=odd[:40], model=odd[:40])
    return cast.job_at(Stage.EXAMINING, made)


@pytest.fixture
def sent(cast, job, odd):
    draft = quote.draft_quote(job)
    follows = [LineDraft("work", "needed", odd, 100)]
    ways = [OutcomeDraft(odd), OutcomeDraft(odd, follow_ons=follows)]
    quote.put_line(draft, LineDraft("work", "needed", odd, 8500, why=odd, outcomes=ways))
    return quote.send_quote(draft, cast.technician, sending=Sending(note=odd, if_declined_note=odd))


def checked_elsewhere(job, folder):
    """What the exported script says of the exported evidence, in a bare Python."""
    packed = io.BytesIO()
    exporting.export(job, packed)
    (folder / "evidence.zip").write_bytes(packed.getvalue())
    (folder / "verify.py").write_bytes(zipfile.ZipFile(packed).read("verify.py"))
    command = [sys.executable, "-I", str(folder / "verify.py"), str(folder / "evidence.zip")]
    return subprocess.run(command, capture_output=True, text=True, encoding="utf-8", check=False)


def test_it_is_nowhere_more_than_text(cast, job, sent, odd, as_customer, client, tmp_path):
    visitor = as_customer(job)
    pages = [visitor.get(to("my_quote", job)).content]
    assert b"".join(visitor.get(to("my_quote_pdf", job))).startswith(b"%PDF")
    assert visitor.post(to("my_quote", job), chosen(sent, odd, name=odd)).status_code == 303
    pages += [bytes(Paper.objects.get(kind="page").body), visitor.get(to("my", job)).content]
    client.force_login(cast.owner_user)
    for name in ("bench_job", "bench_payments", "office_job"):
        pages.append(client.get(reverse(name, args=[job.ref])).content)

    relay.run()
    relay.run()
    letters = list(Letter.objects.filter(job=job))
    assert {"quote_sent", "decided", "staff_decided"} <= {letter.kind for letter in letters}
    heads = [message.build(letter, cast.workshop.email).split(b"\r\n\r\n")[0] for letter in letters]
    assert not any(head.startswith(b"Bcc") or b"\nBcc" in head for head in heads)
    pages += [letter.html.encode() for letter in letters]
    assert not any(b"<script>alert" in page for page in pages)

    erasing.erase_traces(timezone.localdate().replace(year=2040))
    assert verifying.verify(Job.objects.get(pk=job.pk)) is None
    said = checked_elsewhere(job, tmp_path)
    assert (said.returncode, said.stderr) == (0, ""), said.stdout
