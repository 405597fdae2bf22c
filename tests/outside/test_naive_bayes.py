"""Our naive Bayes against scikit-learn's MultinomialNB (only the tests need it): same counts, same smoothing, same shares.

Its prior is given to it, because ours is smoothed with the same alpha and scikit-learn's is not; that prior is checked against a
hand-worked example in tests/jobs/test_learning.py.
"""

import random
from itertools import product

import numpy as np
import pytest
from sklearn.naive_bayes import MultinomialNB

from jobs.learning import Case, Learned

SYMPTOMS = [f"s{number}" for number in range(12)]
TRAITS = [f"t{number}" for number in range(5)]
EXPLANATIONS = [
    "lens/haze-inside",
    "counter/stops-at-one-number",
    "seals/light-seals-gone",
    "meter/needle-sticks",
]


def some_cases(seed: int, number: int) -> list[Case]:
    """Cases with a leaning: each explanation prefers some symptoms. A tenth has two explanations, some have none."""
    dice = random.Random(seed)
    return [one_case(dice) for _ in range(number)]


def one_case(dice: random.Random) -> Case:
    true = dice.sample(EXPLANATIONS, dice.choices([0, 1, 2], [1, 8, 1])[0])
    leaning = SYMPTOMS[3 * EXPLANATIONS.index(true[0]) :][:3] if true else SYMPTOMS
    symptoms = {dice.choice(leaning), *dice.sample(SYMPTOMS, dice.randrange(3))}
    return Case(frozenset(symptoms), frozenset(dice.sample(TRAITS, dice.randrange(3))), frozenset(true))


def theirs(learned: Learned, alpha: float) -> tuple[MultinomialNB, list[str]]:
    """Fitted with one row for each explanation of a case, as ours counts them."""
    columns = sorted(learned.known)
    pairs = [(case, key) for case in learned.cases for key in sorted(case.true)]
    rows = np.array([[column in case.features for column in columns] for case, _key in pairs], dtype=float)
    names = [key for _case, key in pairs]
    counted = np.array([names.count(key) + alpha for key in sorted(set(names))])
    return MultinomialNB(alpha=alpha, class_prior=counted / counted.sum()).fit(rows, names), columns


@pytest.mark.parametrize(("seed", "alpha"), list(product(range(4), [0.1, 1.0, 2.5])))
def test_every_share_is_scikit_learns(seed: int, alpha: float) -> None:
    learned = Learned(tuple(some_cases(seed, 60)), alpha)
    model, columns = theirs(learned, alpha)
    for asked in some_cases(seed + 100, 25):
        row = np.array([[column in asked.features for column in columns]], dtype=float)
        expected = dict(zip(model.classes_, model.predict_proba(row)[0], strict=True))
        assert dict(learned.ranking(asked.symptoms, asked.traits)) == pytest.approx(expected, rel=1e-9)
