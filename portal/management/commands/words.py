"""The texts of this house and their translations."""

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandParser

from portal.words import files, finding


class Command(BaseCommand):
    help = "Brings the .po files up to date with the sources, or lists what a customer can meet untranslated."
    requires_system_checks = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--missing", metavar="LANGUAGE", choices=files.TONGUES, help="list, change nothing"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["missing"]:
            self._list(options["missing"])
        else:
            self._renew()

    def _renew(self) -> None:
        for tongue in files.TONGUES:
            for path, text in finding.renewed(settings.BASE_DIR, tongue).items():
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text(text)
                self.stdout.write(f"{path.relative_to(settings.BASE_DIR)}: {self._counted(text, tongue)}")

    def _counted(self, text: str, tongue: str) -> str:
        words = files.words_of(files.parsed(text.encode(), tongue))
        met = [word for word in words if files.FOR_CUSTOMERS in word.auto_comments]
        done = sum(files.is_translated(word) for word in met)
        return f"{len(words)} texts, {len(met)} of them for customers, {done} of those translated"

    def _list(self, tongue: str) -> None:
        without = list(files.missing(settings.BASE_DIR, tongue))
        for room, word in without:
            said = word.id if isinstance(word.id, str) else word.id[0]
            about = f" [{word.context}]" if word.context else ""
            self.stdout.write(f"{room}{about}: {said!r}  ({', '.join(place for place, _ in word.locations)})")
        self.stdout.write(f"{len(without)} texts that customers can meet are not translated into {tongue}.")
