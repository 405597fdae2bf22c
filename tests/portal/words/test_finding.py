"""Finding texts in sources of Python and in templates."""

import ast
import re
from pathlib import Path

import pytest
from babel.messages import Catalog
from django.conf import settings

from portal.words import files, finding

PYTHON = """
from django.utils.translation import gettext as _, gettext_lazy as _later, ngettext, pgettext_lazy
A = _("Plain " "and long")
B = ngettext("%(n)s day", "%(n)s days", 2)
C = pgettext_lazy("place", "Bench")
# Translators: the customer reads this
D = _("Said")
E = _(A)
F = _later("In time")
"""
TEMPLATE = """
  {% if x %}<p>It's 5 % "off</p>
{% translate "Short" %}{% translate "Right" context "not left" %}
      {% blocktranslate count n=days %}{{ n }} day{% plural %}{{ n }} days{% endblocktranslate %}
  {{ day|date:_("j F") }}{% endif %}
    {% blocktranslate with day=x|date:_("l j F") %}On {{ day }}.
It ends.{% endblocktranslate %}
"""


@pytest.fixture
def house(tmp_path: Path) -> Path:
    for name, text in {
        "jobs/actions/finding.py": PYTHON,
        "jobs/words.py": '_("Both")\n_("Bench")',
        "jobs/migrations/0001.py": '_("Never")',
        "notifications/plan.py": '_("Both")',
        "portal/bench/job.py": '_("For staff alone")',
        "templates/letters/booked/body.txt": "{% translate 'Letter' %}",
        "templates/customer/my.html": TEMPLATE,
    }.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text)
    return tmp_path


def ids(catalogue: Catalog) -> set[object]:
    return {(word.context, word.id) if word.context else word.id for word in files.words_of(catalogue)}


def test_every_way_of_writing_a_text_in_python_is_found(house: Path) -> None:
    found = ids(finding.found(house)["jobs"])
    assert found == {
        "Plain and long",
        ("%(n)s day", "%(n)s days"),
        ("place", "Bench"),
        "Said",
        "In time",
        "Both",
        "Bench",
    }


def test_every_way_of_writing_a_text_in_a_template_is_found(house: Path) -> None:
    found = ids(finding.found(house)["portal"])
    assert found == {
        "Short",
        ("not left", "Right"),
        ("%(n)s day", "%(n)s days"),
        "j F",
        "l j F",
        "On %(day)s.\nIt ends.",
        "For staff alone",
    } - {("%(n)s day", "%(n)s days")}  # which jobs says already


def test_a_text_that_two_rooms_say_stands_with_the_lower_one(house: Path) -> None:
    rooms = finding.found(house)
    assert [place for place, _ in rooms["jobs"].get("Both").locations] == [
        "jobs/words.py",
        "notifications/plan.py",
    ]
    assert ids(rooms["notifications"]) == {"Letter"}


def test_what_only_staff_read_is_not_marked_for_translators(house: Path) -> None:
    rooms = finding.found(house)
    marked = {
        word.id
        for room in rooms.values()
        for word in files.words_of(room)
        if "customers" in word.auto_comments
    }
    assert {"Both", "Letter", "Short", "Said"} <= marked
    assert not {"For staff alone", "Plain and long"} & marked


def hidden(source: str) -> list[int]:
    """Lines where a text stands inside an f-string, which nobody who looks for texts can see."""
    return [
        call.lineno
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.JoinedStr)
        for call in ast.walk(node)
        if isinstance(call, ast.Call)
        and isinstance(call.func, ast.Name)
        and call.func.id in {"_", *finding.KEYWORDS}
    ]


def test_no_text_hides_in_an_f_string() -> None:
    sources = [path for room in files.ROOMS for path in (settings.BASE_DIR / room).rglob("*.py")]
    assert len(sources) > 100
    assert {str(path): found for path in sources if (found := hidden(path.read_text()))} == {}
    assert hidden("f\"{_('We look.')} {x}\"") == [1]


def test_no_date_of_a_letter_or_a_page_is_spelt_in_one_language_only() -> None:
    """`date:"j F"` is "5 October" in German too; `date:_("j F")` can become "5. Oktober"."""
    spelt = re.compile(r"""\|date:["'][^"']*[DlFMN]""")
    pages = [
        path
        for room in ("letters", "customer", "parts", "door", "errors")
        for path in (settings.BASE_DIR / "templates" / room).rglob("*.*")
    ]
    wrong = [path.name for path in pages if spelt.search(path.read_text()) and "letterbox" not in path.name]
    assert wrong == []


def keep(house: Path) -> dict[Path, str]:
    texts = finding.renewed(house, "de")
    for path, text in texts.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return texts


def translate(house: Path, msgid: str, msgstr: str) -> None:
    path = files.po_file(house, "jobs", "de")
    path.write_text(
        path.read_text().replace(f'msgid "{msgid}"\nmsgstr ""', f'msgid "{msgid}"\nmsgstr "{msgstr}"')
    )


def test_renewing_keeps_what_is_translated_and_changes_nothing_else(house: Path) -> None:
    keep(house)
    translate(house, "Said", "Gesagt")
    before = files.po_file(house, "jobs", "de").read_text()
    assert "Gesagt" in before
    assert keep(house)[files.po_file(house, "jobs", "de")] == before


def test_a_text_that_is_gone_leaves_the_files(house: Path) -> None:
    keep(house)
    translate(house, "Both", "Beide")
    (house / "jobs/words.py").write_text("")
    (house / "notifications/plan.py").write_text("")
    assert "Beide" not in keep(house)[files.po_file(house, "jobs", "de")]


def test_a_text_that_moves_to_a_lower_room_keeps_its_translation(house: Path) -> None:
    keep(house)
    translate(house, "Bench", "Werkbank")
    (house / "jobs/words.py").write_text('_("Both")')
    (house / "portal/bench/job.py").write_text('_("Bench")')
    assert "Werkbank" in keep(house)[files.po_file(house, "portal", "de")]


def test_what_is_missing_is_only_what_customers_meet(house: Path) -> None:
    keep(house)
    translate(house, "Said", "Gesagt")
    missing = [word.id for _room, word in files.missing(house, "de")]
    assert "Short" in missing
    assert "Said" not in missing
    assert "For staff alone" not in missing
