from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("notifications", "0005_nudges_about_anything")]

    operations = [
        migrations.AddField(
            model_name="incoming", name="left_out", field=models.JSONField(blank=True, default=list)
        ),
        migrations.AddField(
            model_name="incoming", name="photos", field=models.PositiveSmallIntegerField(default=0)
        ),
        migrations.AddField(
            model_name="replybox",
            name="address",
            field=models.EmailField(default="", max_length=254, verbose_name="address of this mailbox"),
        ),
        migrations.AddField(
            model_name="replybox",
            name="plus_proved_at",
            field=models.DateTimeField(blank=True, null=True),
        ),
    ]
