from typing import Any

from django.core.management.base import BaseCommand, CommandError

from jobs import journal
from jobs.models import Entry, Job


class Command(BaseCommand):
    help = "Re-check every job's journal, and name the first break of each."

    def handle(self, *args: Any, **options: Any) -> None:
        breaks = list(journal.verify_all())
        for found in breaks:
            self.stderr.write(f"{found.ref} entry {found.seq}: {found.why}")
        if breaks:
            raise CommandError(f"{len(breaks)} of {Job.objects.count()} journals are broken.")
        self.stdout.write(f"{Job.objects.count()} journals with {Entry.objects.count()} entries are whole.")
