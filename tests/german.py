"""Hears what was said in English because it has no German."""

from collections.abc import Iterator
from contextlib import contextmanager
from gettext import NullTranslations

from django.utils.translation import trans_real


class Untranslated(NullTranslations):
    """Stands where Django looks when the German catalogues do not have a text, and notes each."""

    def __init__(self, english: NullTranslations) -> None:
        super().__init__()
        self.english, self.heard = english, set()

    def gettext(self, message: str) -> str:
        self.heard.add(message.replace(trans_real.CONTEXT_SEPARATOR, ": "))
        return self.english.gettext(message)

    def ngettext(self, one: str, more: str, n: int) -> str:
        self.heard.add(one.replace(trans_real.CONTEXT_SEPARATOR, ": "))
        return self.english.ngettext(one, more, n)


@contextmanager
def untranslated() -> Iterator[set[str]]:
    """The texts without German that were asked for inside."""
    german = trans_real.translation("de")
    english = german._fallback
    german._fallback = listening = Untranslated(english)
    try:
        yield listening.heard
    finally:
        german._fallback = english
