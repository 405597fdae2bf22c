from django.apps.registry import Apps
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

from jobs.searching import search_text


def fill(apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
    """Jobs from before the column get what a new one gets."""
    jobs = apps.get_model("jobs", "Job").objects
    rows = jobs.values_list("pk", "ref", "item__maker", "item__model", "item__serial", "customer__name")
    for pk, ref, maker, model, serial, name in list(rows):
        jobs.filter(pk=pk).update(search_text=search_text(ref, maker, model, serial, name))


class Migration(migrations.Migration):
    dependencies = [("jobs", "0001_initial")]

    operations = [
        migrations.AddField("job", "search_text", models.TextField(blank=True, default="", editable=False)),
        migrations.AddIndex(
            "job", models.Index(fields=["holder", "likely_by"], name="jobs_job_holder_27bac3_idx")
        ),
        migrations.RunPython(fill, migrations.RunPython.noop),
    ]
