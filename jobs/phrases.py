"""Words put together into sentences."""

from django.utils.translation import get_language

KEEPS_CAPITALS = (
    "de",
)  # its nouns have one wherever they stand, and nobody here can tell which words are nouns


def mid_sentence(words: str) -> str:
    """Words that began a sentence of their own, as they stand inside another."""
    if (get_language() or "").startswith(KEEPS_CAPITALS):
        return words
    return words[:1].lower() + words[1:]
