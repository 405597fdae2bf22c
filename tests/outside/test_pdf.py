"""What the documents claim to be, looked up in the files by pypdf, a reader that we did not write.

Sources, the clauses from memory. PDF/A-3 (ISO 19005-3): XMP with pdfaid part and conformance (6.6.4), embedded fonts (6.2.11.4), no
JavaScript or launching (6.5.1), attachments with AFRelationship and a media type (6.8), an output intent (6.2.3), no encryption (6.1.3);
level A: /MarkInfo, a structure tree and a language (6.7). PDF/UA-1 (ISO 14289-1): pdfuaid part, a title that is displayed.

Not checked: whether the files conform in every clause. That takes a validator such as veraPDF, which is not among our tools; the
compiler checks what it knows of the standards, and refuses the file otherwise. Nor is a screen reader tried.
"""

import json
import re
from datetime import UTC, datetime

import pytest

from jobs import papers
from jobs.canonical import canonical
from tests.jobs.papers import told
from tests.jobs.papers.reading import bare, dictionaries, pdf, text

EVIDENCE = canonical({"quote": 2, "lines": [{"title": "Écrou “à œil”", "price": 8500}]}).encode()
NAMESPACES = {
    "pdfaid": "http://www.aiim.org/pdfa/ns/id/",
    "pdfuaid": "http://www.aiim.org/pdfua/ns/id/",
    "dc": "http://purl.org/dc/elements/1.1/",
}


@pytest.fixture(scope="module")
def answer() -> bytes:
    return papers.answer(told.with_a_spread(), evidence=EVIDENCE)


@pytest.fixture(scope="module", params=["answer", "offer", "declined", "long", "warranty"])
def paper(request: pytest.FixtureRequest) -> bytes:
    make = {
        "answer": lambda: papers.answer(told.with_a_spread(), evidence=EVIDENCE),
        "offer": lambda: papers.answer(told.offer()),
        "declined": lambda: papers.answer(told.answer(decision=told.DECLINED), evidence=EVIDENCE),
        "long": lambda: papers.answer(told.long_answer(), evidence=EVIDENCE),
        "warranty": lambda: papers.warranty(told.warranty()),
    }
    return make[request.param]()


def said_in_xmp(made: bytes, space: str, name: str) -> str:
    """The value in the file's metadata, which are XML in plain sight."""
    xmp = pdf(made).trailer["/Root"]["/Metadata"].get_data().decode()
    prefix = re.search(rf'xmlns:(\w+)="{re.escape(NAMESPACES[space])}"', xmp)[1]
    return re.search(rf"<{prefix}:{name}>(.*?)</{prefix}:{name}>", xmp, re.DOTALL)[1]


def test_it_says_that_it_is_an_archival_file_of_level_3a(paper):
    assert said_in_xmp(paper, "pdfaid", "part") == "3"
    assert said_in_xmp(paper, "pdfaid", "conformance") == "A"


def test_it_says_that_it_can_be_read_by_everybody(paper):
    assert said_in_xmp(paper, "pdfuaid", "part") == "1"


def test_it_is_tagged_and_says_its_language(paper):
    root = pdf(paper).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] == True  # noqa: E712 a value of pypdf, equal to it and not the same
    assert root["/StructTreeRoot"]["/K"]
    assert root["/Lang"].lower() == "en-gb"


def test_its_tags_tell_headings_and_tables_from_the_rest(answer):
    kinds = {each.get("/S") for each in dictionaries(answer) if "/S" in each}
    assert {"/H1", "/H2", "/Table", "/TR", "/TH", "/TD", "/P"} <= kinds


def test_its_title_is_shown_and_names_the_job(paper):
    read = pdf(paper)
    assert read.metadata.title.startswith("4TM7-QKR")
    assert read.trailer["/Root"]["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712 as above


def test_its_date_is_that_of_the_paper(answer):
    assert pdf(answer).metadata.creation_date == datetime(2026, 10, 14, 15, 20, 5, tzinfo=UTC)


def test_every_typeface_is_inside(paper):
    faces = [each for each in dictionaries(paper) if each.get("/Type") == "/FontDescriptor"]
    assert faces
    assert all(any(f"/FontFile{n}" in face for n in ("", "2", "3")) for face in faces)
    fonts = [each for each in dictionaries(paper) if each.get("/Type") == "/Font"]
    assert all("/ToUnicode" in font for font in fonts if font["/Subtype"] == "/Type0")
    assert {font["/Subtype"] for font in fonts} <= {"/Type0", "/CIDFontType0", "/CIDFontType2"}


def test_its_colours_are_bound_to_a_profile(paper):
    intent = pdf(paper).trailer["/Root"]["/OutputIntents"][0]
    assert intent["/S"] == "/GTS_PDFA1"
    assert intent["/DestOutputProfile"].get_data()[36:40] == b"acsp"  # the signature of an ICC profile


def test_nothing_in_it_runs_or_leads_elsewhere(paper):
    read = pdf(paper)
    assert not read.is_encrypted
    for each in dictionaries(paper):
        assert not {"/JS", "/JavaScript", "/AA", "/OpenAction", "/URI", "/Launch", "/XFA"} & set(each)
        assert each.get("/S") not in {
            "/URI",
            "/JavaScript",
            "/Launch",
            "/GoToR",
            "/SubmitForm",
            "/ImportData",
        }


def test_the_evidence_comes_out_byte_for_byte(answer):
    read = pdf(answer)
    assert read.attachments == {"evidence.json": [EVIDENCE]}
    assert json.loads(read.attachments["evidence.json"][0])["lines"][0]["title"] == "Écrou “à œil”"


def test_the_evidence_says_what_it_is(answer):
    files = [each for each in dictionaries(answer) if each.get("/Type") == "/Filespec"]
    assert [each["/AFRelationship"] for each in files] == ["/Source"]
    assert files[0]["/EF"]["/F"]["/Subtype"] in ("/application/json", "/application#2Fjson")
    assert pdf(answer).trailer["/Root"]["/AF"]


def test_a_paper_without_evidence_has_nothing_attached():
    assert pdf(papers.answer(told.offer())).attachments == {}


def test_the_fingerprints_can_be_read_in_it(answer):
    shown = bare(answer)
    for name in ("shown_hash", "record_hash", "journal_hash"):
        assert told.answer()[name] in shown


def test_the_pages_are_a4(paper):
    for page in pdf(paper).pages:
        assert (round(page.mediabox.width), round(page.mediabox.height)) == (595, 842)


def test_the_foot_counts_the_pages():
    made = papers.answer(told.long_answer())
    count = len(pdf(made).pages)
    assert count > 5
    for n in range(1, count + 1):
        assert f"page {n} of {count}" in text(made)
