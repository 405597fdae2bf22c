"""The reading grade against worked values of the published formulas.

Flesch, "A new readability yardstick", Journal of Applied Psychology 32 (1948): 206.835 - 1.015 W/S - 84.6 Y/W.
Kincaid and others, Research Branch Report 8-75 (1975): 0.39 W/S + 11.8 Y/W - 15.59.
W words, S sentences, Y syllables. The sentences and their counts are those of an encyclopedia's article on the formulas,
as two open-source test suites for readability carry them; the decimals follow from the counts.
"""

import pytest
import textstat

from jobs.library.reading import grade

# sentence, sentences, words, syllables, reading ease, grade
WORKED = [
    ("The cat sat on the mat.", 1, 6, 6, 116.145, -1.450),
    ("The Australian platypus is seemingly a hybrid of a mammal and reptilian creature.", 1, 13, 24, 37.455, 11.265),
    (
        "This sentence, taken as a reading passage unto itself, is being used to prove a point.",
        1, 16, 23, 68.983, 7.613,
    ),
    ("Cool dogs wear da sunglasses.", 1, 5, 7, 83.320, 2.880),
]  # fmt: skip


@pytest.mark.parametrize(("sentence", "sentences", "words", "syllables", "ease", "level"), WORKED)
def test_the_worked_values_follow_from_their_counts(
    sentence: str, sentences: int, words: int, syllables: int, ease: float, level: float
) -> None:
    assert 206.835 - 1.015 * words / sentences - 84.6 * syllables / words == pytest.approx(ease, abs=6e-4)
    assert 0.39 * words / sentences + 11.8 * syllables / words - 15.59 == pytest.approx(level, abs=6e-4)


@pytest.mark.parametrize(("sentence", "sentences", "words", "syllables", "ease", "level"), WORKED)
def test_our_grade_is_the_published_one(
    sentence: str, sentences: int, words: int, syllables: int, ease: float, level: float
) -> None:
    assert grade(sentence) == pytest.approx(level, abs=0.01)
    assert textstat.flesch_reading_ease(sentence) == pytest.approx(ease, abs=0.01)


def test_the_grade_has_its_published_lower_bound() -> None:
    """One-syllable one-word sentences: 0.39 + 11.8 - 15.59. Follows from the formula."""
    assert pytest.approx(-3.40) == 0.39 + 11.8 - 15.59
    assert grade("Stop.") == pytest.approx(-3.40, abs=0.01)


def test_longer_sentences_and_longer_words_are_harder() -> None:
    easy = "The lever sticks. It will not move. We clean it."
    longer = "The lever sticks and it will not move and so we clean it."
    harder = "The advance mechanism exhibits considerable resistance; comprehensive lubrication is indicated."
    assert grade(easy) < grade(longer) < grade(harder)
