"""Rows of their own migration: PostgreSQL makes no index on a table whose rows have just changed in the same transaction."""

from django.db import migrations


def give_lines_their_rate(apps, schema_editor):
    """Until now a whole quote had one rate; from here on each line has its own."""
    Line = apps.get_model("jobs", "Line")
    Quote = apps.get_model("jobs", "Quote")
    for quote in Quote.objects.filter(tax_rate_bp__gt=0).only("pk", "tax_rate_bp").iterator():
        Line.objects.filter(quote=quote.pk).update(tax_rate_bp=quote.tax_rate_bp)


def give_lines_their_mechanism(apps, schema_editor):
    """As the warranty found it until now: that of the first finding which the line answers."""
    Line = apps.get_model("jobs", "Line")
    for line in Line.objects.filter(findings__isnull=False).distinct().iterator():
        line.mechanism = line.findings.order_by("pk").first().mechanism
        line.save(update_fields=["mechanism"])


class Migration(migrations.Migration):
    dependencies = [
        ("jobs", "0008_cover_explanation"),
    ]

    operations = [
        migrations.RunPython(give_lines_their_rate, migrations.RunPython.noop),
        migrations.RunPython(give_lines_their_mechanism, migrations.RunPython.noop),
    ]
