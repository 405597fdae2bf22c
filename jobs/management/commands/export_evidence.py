from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from jobs import refs
from jobs.exporting import export
from jobs.models import Job


class Command(BaseCommand):
    help = (
        "Write everything about the answers of one job into a zip that can be checked without this program."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("ref", help="the job's reference, such as 4TM7-QKR")
        parser.add_argument("file", type=Path, help="the zip to write; it must not be there yet")

    def handle(self, *args: Any, ref: str, file: Path, **options: Any) -> None:
        try:
            job = Job.objects.get(ref=refs.tidy(ref))
        except (refs.BadRef, Job.DoesNotExist):
            raise CommandError(f"There is no job {ref}.") from None
        try:
            with file.open("xb") as to:
                export(job, to)
        except OSError as error:
            raise CommandError(f"{file} cannot be written: {error.strerror}.") from error
        self.stdout.write(f"{file}: unpack it and run verify.py, or run verify.py on it.")
