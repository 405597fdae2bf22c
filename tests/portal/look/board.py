"""Every component once, with invented example data: rendered by the tests, and photographed by tests/journeys/look_sheet.py."""

from datetime import date, timedelta
from pathlib import Path
from types import SimpleNamespace as Thing
from typing import Any

from django import forms
from django.template import Context, Template
from django.utils import timezone

from jobs.money import show
from jobs.quoting import Total
from jobs.words import Bearing, Certainty, Effect
from portal.drawing import cover, days, marks, scale, turns
from portal.drawing.pictures import Picture

PAGES = Path(__file__).parent / "pages"
WORKSHOP = Thing(name="Tidewater Camera Works", place="Saltmere")
YES_NO = [("yes", "Yes, do it"), ("no", "No, leave it")]


class Booking(forms.Form):
    item = forms.CharField(label="What is it?", help_text="Maker and name, as it stands on the camera.")
    story = forms.CharField(label="What did you notice?", widget=forms.Textarea(attrs={"rows": 4}))
    opened = forms.ChoiceField(
        label="Has anybody opened it?",
        choices=[("no", "No"), ("yes", "Yes"), ("unsure", "I do not know")],
        widget=forms.RadioSelect,
    )
    since = forms.DateField(label="Since when?", required=False)
    photos = forms.FileField(label="Photographs", required=False, help_text="Up to six. JPEG, PNG or WebP.")
    mount = forms.ChoiceField(
        label="How does it come home?", choices=[("post", "By post"), ("collect", "I collect it")]
    )
    terms = forms.BooleanField(label="I have read what an examination costs.")


class Keys(forms.Form):
    title = forms.CharField(label="Explanation")
    certainty = forms.ChoiceField(choices=Certainty.choices, widget=forms.RadioSelect)
    bearing = forms.ChoiceField(choices=Bearing.choices, widget=forms.RadioSelect)
    effect = forms.ChoiceField(choices=Effect.choices, widget=forms.RadioSelect)


class Place(forms.Form):
    x1 = forms.IntegerField(
        label="Mark 1, across", widget=forms.NumberInput(attrs={"data-mark": 1, "data-axis": "x"})
    )
    y1 = forms.IntegerField(
        label="Mark 1, down", widget=forms.NumberInput(attrs={"data-mark": 1, "data-axis": "y"})
    )
    x2 = forms.IntegerField(
        label="Mark 2, across",
        widget=forms.NumberInput(attrs={"data-mark": 2, "data-axis": "x"}),
        required=False,
    )
    y2 = forms.IntegerField(
        label="Mark 2, down",
        widget=forms.NumberInput(attrs={"data-mark": 2, "data-axis": "y"}),
        required=False,
    )


class Signing(forms.Form):
    name = forms.CharField(
        label="Your full name, typed by you", widget=forms.TextInput(attrs={"class": "name"})
    )


def answers(initial: list[str]) -> forms.Form:
    fields = {
        f"line{n}": forms.ChoiceField(choices=YES_NO, widget=forms.RadioSelect, initial=value)
        for n, value in enumerate(initial)
    }
    return type("Answers", (forms.Form,), fields)()


def picture(caption: str = "", places: list[marks.Mark] | None = None, certainty: str = "seen") -> Picture:
    marked = marks.draw(places, 1200, 900, certainty) if places else None
    return Picture(
        "/photo.jpg",
        1200,
        900,
        "Under the top cover: gears, and a small screw.",
        caption,
        "",
        "#large",
        marked,
    )


def finding(pk: int, title: str, certainty: str, bearing: str, effect: str, text: str, **more: Any) -> Thing:
    shown = (
        {
            "title": "A loose screw in the winding",
            "sections": [
                {"heading": "What happened", "html": "<p>Each stroke turns the gear by one picture.</p>"}
            ],
        }
        if pk == 1
        else {}
    )
    return Thing(
        pk=pk,
        title=title,
        certainty=certainty,
        bearing=bearing,
        effect=effect,
        text=text,
        shown=shown,
        **{"state": "posted", **more},
    )


def findings() -> list[tuple[Thing, list[Picture], list[Thing]]]:
    at = timezone.now() - timedelta(days=3)
    former = [Thing(at=at, content={"title": "A screw is loose", "text": "One of the screws is loose."})]
    one = [marks.Mark(1, 463, 451), marks.Mark(2, 392, 778, 50)]
    haze = [marks.Mark(1, 500, 502, 163)]
    return [
        (
            finding(
                1,
                "A screw had dropped among the gears",
                "seen",
                "explains",
                "stops",
                "The screw at (1) belongs in the thread at (2).",
            ),
            [picture("Under the top cover, 9 October. 1 the loose screw. 2 where it belongs.", one)],
            former,
        ),
        (
            finding(
                2,
                "We cannot know yet if the haze will clear",
                "untried",
                "explains",
                "pictures",
                "The veil at (1) scatters light.",
            ),
            [picture("The lens against our lamp.", haze, "untried"), picture(), picture()],
            [],
        ),
        (
            finding(
                3,
                "The focus is right",
                "ruled_out",
                "clears",
                "know",
                "We measured it at one, three and ten metres.",
            ),
            [],
            [],
        ),
        (
            finding(
                4,
                "A spring is bent",
                "seen",
                "separate",
                "looks",
                "",
                state="withdrawn",
                withdrawn_because="It is meant to be so.",
            ),
            [],
            [],
        ),
    ]


def timeline(today: date) -> dict[str, Any]:
    ago = [today - timedelta(days=n) for n in (18, 15, 5, 4, 2)]
    said = [
        ("carrier", "You posted it in Saltmere."),
        ("workshop", "Your parcel arrived, dry and whole. One camera, one case, no film."),
        ("workshop", "We opened the top cover and found the screw."),
        ("workshop", "We held the lens against the lamp and found the haze."),
        ("customer", "We sent you the quote, and a letter to say so."),
    ]
    entries = [turns.Entry(day, holder, what) for day, (holder, what) in zip(ago, said, strict=True)]
    gathered = turns.gather(entries, today)
    return {"turns": gathered, "rail": turns.draw(gathered, today)}


def questions() -> list[Thing]:
    now = timezone.now()
    first = Thing(
        pk=1,
        text="Was it the sand on the beach?",
        asked_at=now,
        about="A screw had dropped among the gears",
        answer="No. There is no sand in it.",
        answered_at=now,
        answered_by="Hester Quill",
    )
    return [
        first,
        Thing(
            pk=2,
            text="May I keep the old screw?",
            asked_at=now,
            about="",
            answer="",
            answered_at=None,
            answered_by="",
        ),
    ]


def quote() -> dict[str, Any]:
    form = answers(["yes", "yes", "no"])
    said = [
        (
            "needed",
            "Free the winding gears, refit the screw",
            "Without this the camera cannot wind on.",
            8500,
        ),
        (
            "advised",
            "Clean and set the slow times",
            "From 1 second to 1/8 they run long. With slide film you would see it.",
            6000,
        ),
        (
            "optional",
            "New covering on the front",
            "The old one has shrunk at two corners. It is only looks.",
            4250,
        ),
    ]
    lines = [
        (Thing(pk=n, need=need, title=title, why=why, price=price, is_fixed=False), form[f"line{n}"], [])
        for n, (need, title, why, price) in enumerate(said)
    ]
    post = Thing(pk=9, need="needed", title="Insured post home", why="", price=1200, is_fixed=True)
    rows = [
        ("Free the winding gears, refit the screw", 8500),
        ("Clean and set the slow times", 6000),
        ("Insured post home", 1200),
    ]
    return {
        "lines": [*lines, (post, None, [])],
        "rows": rows,
        "total": Total(net=13083, tax=2617, gross=15700),
        "tax_words": "VAT 20 %",
        "least": 9700,
        "most": 19950,
        "scale": scale.money(9700, 19950, lambda minor: show(minor, "GBP"), expected=15700),
        "signing": Signing(),
    }


def office(today: date) -> dict[str, Any]:
    said = [
        (
            "customer",
            "Tellmark Tern",
            "Anselm Okoro-Byrne",
            "2WD9-HX4",
            "quoted",
            19,
            [3, 8, 15],
            "ring 01632 960 142",
            None,
            "(340)",
        ),
        (
            "customer",
            "Corvane Skerry",
            "Orla Fennimore",
            "4TM7-QKR",
            "quoted",
            2,
            [],
            "nudge Thursday",
            16,
            "(195)",
        ),
        (
            "workshop",
            "Tellmark Bosun",
            "Ivo Harkaway",
            "3HK8-PZ6",
            "in_work",
            11,
            [],
            "start today",
            1,
            "185",
        ),
        (
            "workshop",
            "Oakhurst Box",
            "Petra Lindqvist-Hale",
            "2KD5-B9S",
            "agreed",
            0,
            [],
            "place in queue",
            12,
            "58",
        ),
        (
            "supplier",
            "Corvane Merle",
            "Eamon Fairlight",
            "8ND3-Q6K",
            "awaiting_part",
            23,
            [7, 14],
            "ask, or find a donor",
            -2,
            "310",
        ),
    ]
    rows = [(holder, _row(today, *rest)) for holder, *rest in said]
    groups = {holder: [row for each, row in rows if each == holder] for holder, _ in rows}
    return {
        "groups": list(groups.items()),
        "waited_head": days.waited_head(28),
        "promised_head": days.promised_head(today),
        "here": "office",
    }


def _row(
    today: date,
    item: str,
    person: str,
    ref: str,
    stage: str,
    waited: int,
    nudges: list[int],
    step: str,
    on: int | None,
    owed: str,
) -> Thing:
    likely = today + timedelta(days=on) if on is not None else None
    promised = days.promised(today, likely, likely + timedelta(days=9), work_left_days=4) if likely else None
    return Thing(
        item=item,
        person=person,
        ref=ref,
        stage=stage,
        days=waited,
        next=step,
        likely=likely,
        promised=promised,
        sum=owed,
        offer=owed.startswith("("),
        rail=days.waited(waited, nudges, 28),
    )


def covers(today: date) -> dict[str, Any]:
    starts = today - timedelta(days=140)
    promises = [
        cover.Promise("Winding on", starts + timedelta(days=365)),
        cover.Promise("Slow times", starts + timedelta(days=365)),
        cover.Promise("Clear lens", starts + timedelta(days=90)),
        cover.Promise("Top speed, 1/500", None, "we told you why"),
    ]
    verdicts = [
        ("yes", "Yes. It is covered until 2 November."),
        ("no", "Not any more. That cover ended."),
        ("look", "We have to look."),
    ]
    return {"cover": cover.draw(promises, starts, today), "verdicts": verdicts}


def wrong_form() -> forms.Form:
    return Booking({"item": "", "story": "It <b>stopped</b> winding on.", "since": "soon", "mount": "post"})


def every_mark() -> list[tuple[str, list[str]]]:
    return [
        ("Whose move it is", ["customer", "workshop", "supplier", "carrier", "nobody"]),
        ("How sure we are", ["seen", "measured", "inferred", "untried", "ruled_out"]),
        ("What it has to do with the story", ["explains", "use", "earlier", "separate", "clears"]),
        ("What it does", ["stops", "pictures", "worsens", "looks", "know"]),
        ("How much we urge it", ["needed", "advised", "optional"]),
    ]


def pages() -> dict[str, str]:
    """Name of a page -> its HTML."""
    today = timezone.localdate()
    when = {"likely": today + timedelta(days=16), "surely": today + timedelta(days=27)}
    customer = {**when, **timeline(today), "findings": findings(), "questions": questions()}
    return {
        "customer": page("customer", {**customer, "portrait": picture("As it reached us.")}),
        "quote": page("quote", quote()),
        "warranty": page("warranty", covers(today)),
        "forms": page("forms", {"form": wrong_form()}),
        "flash": page("flash", {}),
        "marks": page("marks", {"marks": every_mark()}),
        "bench": page("bench", bench()),
        "office": page("office", office(today)),
    }


def bench() -> dict[str, Any]:
    said = {
        "title": "A screw loose in the winding gears",
        "certainty": "seen",
        "bearing": "explains",
        "effect": "stops",
    }
    place = Place({"x1": 463, "y1": 451})
    return {
        "keys": Keys(said),
        "picture": picture(),
        "mark_fields": [(1, place["x1"], place["y1"]), (2, place["x2"], place["y2"])],
        "here": "bench",
        "film": source("film"),
    }


def source(name: str) -> Template:
    return Template((PAGES / f"{name}.html").read_text())


def page(name: str, context: dict[str, Any]) -> str:
    return source(name).render(Context({"workshop": WORKSHOP, **context}))
