"""Explanations made up for a test, so that it stands whatever the library ships: as text, or kept as the workshop's own version."""

from django.utils import timezone

from jobs.library.explanation import Explanation
from jobs.library.load import from_text
from jobs.models import ExplanationVersion

FRONT = """title = "{title}"
short = "It is so."
notice = ["{notice}", "A lantern glows on my camera", "My camera hums in the drawer"]
traits = [{traits}]
certainty = "seen"
bearing = "use"
effect = "know"
minutes = {{ low = 5, likely = 10, high = 20 }}
sources = ["made up for the tests"]
"""
CHECK = """
[check]
ask = "{ask}"
steps = ["Look at the lantern from the front.", "Turn it <b>left</b> with one finger, and wait ten seconds."]
settled = "It was only switched on. Nothing is broken."

[drawing]
name = "winding-lever"
params = { angle = 40 }
legend = ["the lever", "its rest", "the button"]
"""
BODY = """
## What is happening

Nothing is broken.

## How we know

We looked.

## How sure we can be, and when

We are sure.

## What we do about it

Nothing.

## What you can do

Hold it level.

1. Look at the *dial*.
2. Turn it back.
"""


def text(notice: str = "Something is odd", traits: str = "", habit: str = "", ask: str = "") -> str:
    """The whole file of an entry. `traits` stand apart by spaces; with `ask` it has a check before posting, and a drawing."""
    named = ", ".join(f'"{trait}"' for trait in traits.split())
    front = FRONT.format(title=f"Why is this: {notice.lower()}?", notice=notice, traits=named)
    front += f'habit = "{habit}"\n' if habit else ""
    front += CHECK.replace("{ask}", ask) if ask else ""
    return f"+++\n{front}+++\n{BODY}"


def entry(key: str, **parts: str) -> Explanation:
    return from_text(key, text(**parts))


def keep(key: str, **parts: str) -> None:
    """Put it in use in this workshop."""
    ExplanationVersion.objects.create(
        key=key, n=1, text=text(**parts), state="in_use", by="Hester", at=timezone.now()
    )
