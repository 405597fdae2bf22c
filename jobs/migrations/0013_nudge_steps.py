"""Rows of their own migration (see 0009): the days on which a quote was chased become steps, counted in working days.

Only quotes: a workshop that never wrote about payment or collection does not begin to because it was upgraded.
"""

from django.db import migrations

TONES = ["kind", "plain", "last"]


def working_days(days):
    """About five of seven: 3, 7 and 14 days become 2, 5 and 10 working days."""
    return max(1, round(days * 5 / 7))


def write_steps(apps, schema_editor):
    Workshop = apps.get_model("jobs", "Workshop")
    NudgeStep = apps.get_model("jobs", "NudgeStep")
    house = Workshop.objects.order_by("pk").first()
    days = sorted(set(house.nudge_days)) if house else []
    before = 0
    for n, day in enumerate(days, start=1):
        last = n == len(days)
        tone = "last" if last and n > 1 else TONES[min(n - 1, 1)]
        at = max(working_days(day), before + 1)
        NudgeStep.objects.create(about="quote", n=n, wait=at - before, way="email", tone=tone)
        before = at


class Migration(migrations.Migration):
    dependencies = [("jobs", "0012_letters_and_chasing")]

    operations = [migrations.RunPython(write_steps, migrations.RunPython.noop)]
