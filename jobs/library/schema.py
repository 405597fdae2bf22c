"""What an entry of the library is made of. One strict schema for every file; unknown keys are refused.

The word lists repeat the values of `jobs.words` as Literals, so that a wrong word in a file is refused with its
line; a test keeps the two in step.
"""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

Mechanism = Literal[
    "transport", "rewind", "counter", "leaf_shutter", "focal_shutter", "self_timer", "aperture", "lens",
    "focus", "rangefinder", "finder", "meter", "seals", "covering", "body", "earlier_work", "accident", "handling",
]  # fmt: skip
Trait = Literal[
    "leaf_shutter", "focal_plane_shutter", "coupled_rangefinder", "reflex", "twin_lens", "folding", "bellows",
    "film_135", "film_120", "lever_advance", "knob_advance", "frame_counter", "rewind_button", "self_timer",
    "meter_selenium", "meter_cell", "interchangeable_lens", "fixed_lens", "stereo", "box",
]  # fmt: skip
Certainty = Literal["seen", "measured", "inferred", "untried", "ruled_out"]
Bearing = Literal["explains", "use", "earlier", "separate", "clears"]
Effect = Literal["stops", "pictures", "worsens", "looks", "know"]

Key = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=40)]
Slug = Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]*$", max_length=60)]
Line = Annotated[str, Field(min_length=3, max_length=240, pattern=r"^\S.*\S$")]
Number = Decimal | int


class Strict(BaseModel):
    """Base of every part: no unknown keys, no silent conversion, no change after loading."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class Option(Strict):
    """One answer of a choice. `text` goes into a sentence at {field}, `also` into another at {field.also}, and `draw`
    (or else `value`) into the drawing.
    """

    value: Key
    text: Line
    also: Line | None = None
    draw: str | None = None

    def for_drawing(self) -> str:
        """What the drawing is given for this answer."""
        return self.value if self.draw is None else self.draw


class Asked(Strict):
    """Common to all fields. `label` is read by the technician; `example` shows a good answer."""

    key: Key
    label: Line


class ChoiceField(Asked):
    """One of a few answers, given by its value."""

    kind: Literal["choice"]
    options: Annotated[list[Option], Field(min_length=2, max_length=8)]
    example: str
    default: str | None = None

    @model_validator(mode="after")
    def _known_answers(self) -> "ChoiceField":
        values = {option.value for option in self.options}
        for name, given in (("example", self.example), ("default", self.default)):
            if given is not None and given not in values:
                raise ValueError(f"{name} {given!r} is not one of its options")
        return self


class NumberField(Asked):
    """A measured or counted number between two limits, with its unit. `places` decimals are kept (0 = whole)."""

    kind: Literal["integer", "decimal"]
    unit: str = ""
    low: Number
    high: Number
    places: Annotated[int, Field(ge=0, le=3)] = 0
    example: Number
    default: Number | None = None

    @model_validator(mode="after")
    def _inside_its_limits(self) -> "NumberField":
        if self.kind == "integer" and self.places:
            raise ValueError("an integer has no decimal places")
        if not self.low < self.high:
            raise ValueError("low must be below high")
        for name, given in (("example", self.example), ("default", self.default)):
            if given is not None and not self.low <= given <= self.high:
                raise ValueError(f"{name} {given} lies outside {self.low} to {self.high}")
        return self


class TextField(Asked):
    """A few words, put into the sentence as they are and never read as markup."""

    kind: Literal["text"]
    longest: Annotated[int, Field(ge=10, le=300)] = 120
    example: Line
    default: Line | None = None


AnyField = Annotated[ChoiceField | NumberField | TextField, Field(discriminator="kind")]


class Outcome(Strict):
    """One way that try-first work may turn out. `weight` is a starting guess, to be replaced by the bench's counts."""

    key: Key
    text: Line
    weight: Annotated[int, Field(ge=1, le=100)]


class Minutes(Strict):
    """Usual time at the bench, in minutes: seldom less, likely, seldom more."""

    low: Annotated[int, Field(ge=1)]
    likely: int
    high: Annotated[int, Field(le=3000)]

    @model_validator(mode="after")
    def _in_order(self) -> "Minutes":
        if not self.low <= self.likely <= self.high:
            raise ValueError("minutes must run low, likely, high")
        return self


class DrawingUse(Strict):
    """Which drawing an entry shows, and what its marks 1, 2, ... are. A parameter "{field}" takes that field's fact."""

    name: Slug
    params: dict[Key, str | int] = {}
    legend: list[Line] = []

    @field_validator("params")
    @classmethod
    def _as_text(cls, params: dict[str, str | int]) -> dict[str, str | int]:
        """A drawing reads its parameters as text: 22 and "22" are the same."""
        return {key: str(value) for key, value in params.items()}


class OwnerCheck(Strict):
    """What an owner can look at from outside before sending the camera: `ask` is the question, `steps` how to look, and
    `settled` what it means when that was it. Offered while booking (`jobs.library.offering`), so every step must be safe.
    """

    ask: Line
    steps: Annotated[list[Line], Field(min_length=1, max_length=4)]
    settled: Line


class Front(Strict):
    """The front matter of an entry: all that is not prose."""

    title: Annotated[Line, Field(max_length=90)]
    short: Line
    notice: Annotated[list[Line], Field(min_length=3)]
    # What the bench calls it. Staff find the entry by these; customers never read them.
    bench_words: list[Line] = []
    traits: list[Trait] = []
    certainty: Certainty
    bearing: Bearing
    effect: Effect
    minutes: Minutes
    sources: Annotated[list[Line], Field(min_length=1)]
    cautions: list[Slug] = []
    fields: list[AnyField] = []
    outcomes: list[Outcome] = []
    drawing: DrawingUse | None = None
    check: OwnerCheck | None = None
    # One sentence that keeps it from happening again, for the letter that goes home with a camera of this kind.
    habit: Line | None = None

    @model_validator(mode="after")
    def _nothing_named_twice(self) -> "Front":
        for what, names in (
            ("field", [field.key for field in self.fields]),
            ("outcome", [outcome.key for outcome in self.outcomes]),
            ("caution", list(self.cautions)),
            ("trait", list(self.traits)),
        ):
            if len(names) != len(set(names)):
                raise ValueError(f"the same {what} is named twice")
        return self
