"""How hard a text is to read: the Flesch-Kincaid grade, the school year of somebody who reads it with ease.

    0.39 x words per sentence + 11.8 x syllables per word - 15.59

Source: J. P. Kincaid and others, "Derivation of new readability formulas for Navy enlisted personnel", Research Branch
Report 8-75, 1975. It counts; it does not understand. A low grade does not make a text clear, a high one makes it hard.
"""

from .shown import Shown

HARDEST = 8.0  # grade; above it a text is sent back to its author


def grade(text: str) -> float:
    """The Flesch-Kincaid grade of a text. A text without words has grade 0."""
    # Here and not above: the syllable dictionary takes a moment to load, and only the check and the editor ask.
    import textstat

    return float(textstat.flesch_kincaid_grade(text)) if text.split() else 0.0


def grade_of(shown: Shown) -> float:
    """The grade of an explanation as one customer reads it: the sentence in short and every part, headings left out."""
    return grade("\n".join([shown.short, *(part.text for part in shown.sections)]))
