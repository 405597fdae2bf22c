from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("notifications", "0007_text_day")]

    operations = [
        migrations.RemoveField("owing", "reckoned_at"),
        migrations.RemoveField("owing", "steps_sent"),
    ]
