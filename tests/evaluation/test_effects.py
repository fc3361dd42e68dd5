"""What an option moves by itself, held against the rule functions."""

from __future__ import annotations

import pytest

from configurator.evaluation.effects import LEAST, effects
from tests.search.random_cases import make


def by_hand(evaluation, choice, position, option):
    moved = {}
    for name, rule in evaluation.trade.figures.items():
        if evaluation.late(rule):
            continue
        old = evaluation.figure(name, choice)
        new = evaluation.figure(name, {**choice, position: option})
        numbers = all(isinstance(v, float | int) and not isinstance(v, bool) for v in (old, new))
        if numbers and abs(new - old) >= LEAST * (max(abs(old), abs(new)) or 1.0):
            moved[name] = (old, new)
    return moved


@pytest.mark.parametrize("seed", range(8))
def test_effects_are_those_of_the_rule_functions_with_and_without_what_is_known(seed):
    evaluation = make(seed, families=4).evaluation
    options = {position: evaluation.options(position) for position in evaluation.families}
    known = {}
    choice = dict(evaluation.fitted)
    # Each round changes one position of the package; what is known must not be used wrongly.
    for position, each in options.items():
        choice = {**choice, position: each[-1]}
        effects_listed = effects(evaluation, choice, options, most=99)
        assert effects(evaluation, choice, options, most=99, known=known) == effects_listed
        assert effects(evaluation, choice, options, most=99, known=known) == effects_listed
        for (place, key), effects_of_part in effects_listed.items():
            option = next(o for o in options[place] if o.key == key)
            want = by_hand(evaluation, choice, place, option)
            assert {
                effect.figure: (effect.before, effect.after) for effect in effects_of_part
            } == want


def test_figures_with_goals_come_first_and_the_rest_by_size():
    evaluation = make(1, families=4).evaluation
    options = {position: evaluation.options(position) for position in evaluation.families}
    for effect in effects(evaluation, evaluation.fitted, options, ["g2"], most=9).values():
        names = [effect.figure for effect in effect]
        assert "g2" not in names[1:]
        rest = [effect for effect in effect if effect.figure != "g2"]
        shares = [abs(o.after - o.before) / max(abs(o.before), abs(o.after)) for o in rest]
        assert shares == sorted(shares, reverse=True)
