import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    """From here on a nudge names its thing and not a quote; 0004 has filled in what this asks for."""

    dependencies = [("notifications", "0004_nudges_name_their_thing")]

    operations = [
        migrations.RemoveConstraint(model_name="nudge", name="nudge_once_per_step"),
        migrations.RemoveField(model_name="nudge", name="quote"),
        migrations.AlterField(
            model_name="nudge",
            name="job",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="nudges", to="jobs.job"
            ),
        ),
        migrations.AlterField(
            model_name="nudge",
            name="thing",
            field=models.CharField(max_length=40),
        ),
        migrations.AddConstraint(
            model_name="nudge",
            constraint=models.UniqueConstraint(fields=("thing", "step"), name="nudge_once_per_step"),
        ),
    ]
