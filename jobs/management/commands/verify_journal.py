from typing import Any

from django.core.management.base import BaseCommand, CommandError

from jobs import verifying
from jobs.models import Decision, Entry, Job, Paper


class Command(BaseCommand):
    help = "Re-check every job's journal, answers and documents, and name the first break of each."

    def handle(self, *args: Any, **options: Any) -> None:
        breaks = list(verifying.verify_all())
        for found in breaks:
            self.stderr.write(f"{found.ref} entry {found.seq}: {found.why}")
        if breaks:
            raise CommandError(f"{len(breaks)} of {Job.objects.count()} journals are broken.")
        self.stdout.write(
            f"{Job.objects.count()} journals with {Entry.objects.count()} entries are whole, "
            f"and with them {Decision.objects.count()} answers and {Paper.objects.count()} papers."
        )
