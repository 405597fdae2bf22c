from django.db import migrations


class Migration(migrations.Migration):
    """0013 has turned these days into steps."""

    dependencies = [("jobs", "0013_nudge_steps")]

    operations = [migrations.RemoveField(model_name="workshop", name="nudge_days")]
