"""Plans that travel: what arrives answers as what was made, and is refused for another case."""

from __future__ import annotations

import pickle
from dataclasses import replace

import pytest

from configurator.evaluation.evaluator import Evaluation
from configurator.search.limits import LIMITS
from configurator.search.optimum import option_prices, preparing, queries
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.sent_plans import arrived, to_send
from tests.search.narrow import NARROW
from tests.search.random_cases import make
from tests.search.test_certainty import with_tolerances

SEEDS = range(40)


def prepared_for(random_case, limits=LIMITS):
    figures = queries.goal_figures(random_case.case.job)
    return preparing.prepare(random_case.evaluation, figures, limits=limits)


def prices(prepared, job):
    result = queries.previews(Question(prepared, job))
    return {position: array.tolist() for position, array in result.prices.items()}


@pytest.mark.parametrize("limits", [LIMITS, NARROW], ids=["joined", "taken apart"])
@pytest.mark.parametrize("kinds", [{}, {"sums": True}])
def test_what_arrives_answers_as_what_was_made(kinds, limits):
    with_packages = 0
    for seed in SEEDS:
        random_case = make(seed, **kinds)
        job = random_case.case.job
        made = prepared_for(random_case, limits)
        sent = pickle.loads(pickle.dumps(to_send(made)))
        # Where it arrives, the evaluation is one of its own.
        there = arrived(sent, Evaluation(random_case.case, random_case.evaluation.trade))
        assert there.evaluation is not made.evaluation
        assert [rule.name for rule in there.model.late] == [r.name for r in made.model.late]
        expected = prices(made, job)
        assert prices(there, job) == expected
        with_packages += any(price >= 0 for of in expected.values() for price in of)
    assert with_packages > 10


@pytest.mark.parametrize("sums", [False, True])
@pytest.mark.parametrize("marked", [0, LIMITS.marked_rows])
def test_what_arrives_answers_for_what_is_sure(sums, marked):
    """What tells how sure limits are travels by name and number: no function of a rule does."""
    refused = 0
    limits = replace(LIMITS, marked_rows=marked)
    for seed in SEEDS:
        random_case = with_tolerances(seed, sums=sums)
        case = replace(random_case.case, job=replace(random_case.case.job, sure=True))
        made = preparing.prepare(
            Evaluation(case, random_case.trade), queries.goal_figures(case.job), limits=limits
        )
        sent = pickle.loads(pickle.dumps(to_send(made)))
        there = arrived(sent, Evaluation(case, random_case.trade))
        asked = [Question(ready, case.job) for ready in (made, there)]
        expected, given = (option_prices.previews(each).prices for each in asked)
        assert {p: of.tolist() for p, of in given.items()} == {
            p: of.tolist() for p, of in expected.items()
        }
        plain = prices(made, replace(case.job, sure=False))
        refused += any(of.tolist() != plain[p] for p, of in expected.items())
    assert refused > 2


def test_a_plan_of_another_case_is_refused():
    first, other = make(3), make(4)
    assert first.case.parts != other.case.parts
    with pytest.raises(ValueError, match="another case"):
        arrived(to_send(prepared_for(first)), other.evaluation)
