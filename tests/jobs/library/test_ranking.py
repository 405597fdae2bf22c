"""The parts of the search: words, spelling, meaning, and the index that is kept."""

import subprocess
import sys
from importlib.metadata import PackageNotFoundError

import numpy as np
import pytest

from jobs.library import entries, find, ranking
from jobs.library.ranking import Index, index_of, meaning
from jobs.library.ranking.lexical import Lexical
from jobs.library.ranking.words import Spelling, stem, words


def test_everyday_words_and_apostrophes_are_dropped() -> None:
    assert words("The lever won't wind any MORE, it’s stuck!") == [
        "lever",
        "wont",
        "wind",
        "any",
        "more",
        "stuck",
    ]


def test_a_word_has_one_stem_in_all_its_forms() -> None:
    assert {stem(word) for word in ("wind", "winds", "winding")} == {"wind"}


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("shuter", "shutter"),
        ("rewnid", "rewind"),
        ("shutters", "shutters"),  # another form of a known word is left alone
        ("gutter", "gutter"),  # it begins otherwise
        ("lens", "lens"),
        ("lans", "lans"),  # too short to be sure
        ("saxophone", "saxophone"),
    ],
)
def test_a_misspelt_word_is_taken_for_the_known_word_that_it_looks_like(typed: str, meant: str) -> None:
    assert Spelling(["shutter", "rewind", "lens"]).right(typed) == meant


def test_a_document_with_all_the_words_scores_about_one_and_one_with_none_scores_nothing() -> None:
    scores = Lexical([["lever", "stick"], ["lens", "haze"], ["lever", "slip"]]).scores(["lever", "stick"])
    assert scores[0] == pytest.approx(1, abs=0.4)
    assert (scores[1], scores[0] > scores[2] > 0) == (0, True)


def test_a_rare_word_weighs_more_than_a_common_one() -> None:
    documents = [["film", "haze"], ["film", "lever"], ["film", "lever"], ["film", "lever"]]
    rare, common = (Lexical(documents).scores([word, "unknown"]).max() for word in ("haze", "lever"))
    assert rare > common


def test_words_of_like_meaning_are_near_each_other() -> None:
    if not meaning.available():
        pytest.skip("the wheel with the weights is not installed here")
    photo, picture, screw = meaning.vectors(["photo", "picture", "screw"])
    assert photo @ picture > photo @ screw
    assert np.linalg.norm(photo) == pytest.approx(1, abs=1e-5)


def test_without_the_weights_the_search_goes_by_words(monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(_: str) -> None:
        raise PackageNotFoundError

    monkeypatch.setattr(meaning, "files", missing)
    monkeypatch.setattr(ranking, "_kept", [])
    meaning._model.cache_clear()
    try:
        assert not meaning.available()
        assert find("film came back blank")[0].key == "transport/film-not-caught"
        assert find("zzz") == []
    finally:
        meaning._model.cache_clear()


def test_the_index_is_made_once_for_a_collection_and_anew_for_a_changed_one() -> None:
    whole = entries()
    first = index_of(whole)
    assert index_of(dict(whole)) is first
    fewer = dict(list(whole.items())[:-1])
    assert index_of(fewer) is not first
    assert index_of(whole) is first


def test_only_a_few_collections_are_kept() -> None:
    whole = list(entries().items())
    for length in range(1, ranking.KEPT + 3):
        index_of(dict(whole[:length]))
    assert len(ranking._kept) == ranking.KEPT


def test_the_collection_asked_for_last_is_the_last_to_go() -> None:
    whole = list(entries().items())
    often = index_of(dict(whole))
    for length in range(1, ranking.KEPT + 2):
        index_of(dict(whole[:length]))
        assert index_of(dict(whole)) is often


def test_what_is_happening_is_searched_without_its_places() -> None:
    index = Index(entries())
    assert "{" not in "".join(ranking.story(entry) for entry in index.entries.values())


def test_the_weights_are_read_without_their_own_loader_and_only_when_something_is_searched() -> None:
    code = (
        "import sys; from jobs import library; assert 'numpy' not in sys.modules; library.find('haze');"
        "assert 'numpy' in sys.modules; assert 'wordllama' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)
