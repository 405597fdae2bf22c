"""Rows of their own migration: nudges were all about quotes; from here on each names what it is about."""

from django.db import migrations


def name_things(apps, schema_editor):
    Nudge = apps.get_model("notifications", "Nudge")
    for nudge in Nudge.objects.filter(thing="").select_related("quote").iterator():
        nudge.thing, nudge.job_id = f"quote-{nudge.quote_id}", nudge.quote.job_id
        nudge.save(update_fields=["thing", "job"])


class Migration(migrations.Migration):
    dependencies = [("notifications", "0003_ways_and_chasing"), ("jobs", "0012_letters_and_chasing")]

    operations = [migrations.RunPython(name_things, migrations.RunPython.noop)]
