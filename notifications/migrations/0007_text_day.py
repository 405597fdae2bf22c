from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("notifications", "0006_replies")]

    operations = [
        migrations.CreateModel(
            name="TextDay",
            fields=[
                ("day", models.DateField(primary_key=True, serialize=False)),
                ("n", models.PositiveIntegerField(default=0)),
            ],
        ),
    ]
