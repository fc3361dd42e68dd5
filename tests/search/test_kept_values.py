"""What tolerances do to values, kept: as worked out anew, and of the same values and code only."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from configurator.evaluation.evaluator import Evaluation
from configurator.model.parts import Missing
from configurator.search.encoding import encoder, kept_answers, kept_values
from configurator.search.encoding.asked_values import AskedValues
from configurator.search.encoding.kept_answers import KeptAnswers
from configurator.search.encoding.kept_values import FigureValues
from configurator.search.encoding.value_columns import ValueColumn

pytestmark = pytest.mark.usefixtures("data")
GOALS = ("clearance under front axle, at the least", "clearance under front axle")


@pytest.fixture
def propagated(monkeypatch):
    """Names of the rules whose functions are propagated through."""
    names = []
    through = AskedValues.through

    def noted(self, rule, *rest):
        names.append(rule.name)
        return through(self, rule, *rest)

    monkeypatch.setattr(AskedValues, "through", noted)
    return names


def marked(evaluation, *, keep=True):
    """Give all that marks of a model come to."""
    kept = KeptAnswers(evaluation) if keep else None
    model = encoder.make_model(evaluation, GOALS, sure=True, kept=kept)
    if kept is not None:
        kept.save()
    tables = [(t.name, t.variables, [c.tolist() for c in t.columns]) for t in model.tables]
    rows = {number: own.tolist() for number, own in model.sure_rows.items()}
    by_parts = [(t.rule.name, t.sure.tolist()) for t in model.unsure_by_parts]
    by_package = [rule.name for rule in model.unsure_by_package]
    values = [[(type(value), value) for value in domain] for domain in model.values]
    return tables, rows, by_parts, by_package, values


def test_the_second_time_nothing_is_propagated_and_the_marks_are_the_same(opened, propagated):
    expected = marked(Evaluation(*opened), keep=False)
    assert any(expected[1].values())
    first = len(propagated)
    assert first > 100
    assert marked(Evaluation(*opened)) == expected
    assert len(propagated) == 2 * first
    propagated.clear()
    assert marked(Evaluation(*opened)) == expected
    assert propagated == []


def test_another_case_of_the_same_evaluation_takes_what_is_known(opened, propagated):
    evaluation = Evaluation(*opened)
    expected = marked(evaluation, keep=False)
    propagated.clear()
    assert marked(evaluation, keep=False) == expected
    assert propagated == []


def test_where_a_tolerance_or_a_measure_is_another_what_hangs_on_it_is_worked_out(
    opened, propagated
):
    case, trade = opened
    marked(Evaluation(case, trade))
    every = set(propagated)
    figures = dict(trade.figures)
    estimate = next(name for name, rule in figures.items() if rule.tolerance and name in every)
    figures[estimate] = replace(figures[estimate], tolerance="9 %")
    values = {**case.vehicle.values, "wheelbase": case.vehicle.values["wheelbase"] + 0.1}
    longer = replace(case, vehicle=replace(case.vehicle, values=values))
    for other in ((case, replace(trade, figures=figures)), (longer, trade)):
        propagated.clear()
        expected = marked(Evaluation(*other), keep=False)
        propagated.clear()
        assert marked(Evaluation(*other)) == expected
        assert propagated
        assert set(propagated) < every


def test_another_code_is_worked_out_again(opened, propagated, monkeypatch):
    expected = marked(Evaluation(*opened))
    first = len(propagated)
    monkeypatch.setattr(kept_answers, "_code", lambda: "another")
    assert marked(Evaluation(*opened)) == expected
    assert len(propagated) == 2 * first


def test_rules_of_others_are_not_kept_on_disk(opened, propagated, monkeypatch):
    names = _names(opened, propagated)
    some = next(name for name in opened[1].figures if name in names)
    monkeypatch.setattr(kept_values, "is_bundled", lambda rule: rule.name != some)
    marked(Evaluation(*opened))
    propagated.clear()
    marked(Evaluation(*opened))
    assert set(propagated) == {some}


def _names(opened, propagated):
    marked(Evaluation(*opened), keep=False)
    return set(propagated)


def test_values_are_read_as_they_were_written():
    values = [1, 1.0, True, "1", Missing.UNKNOWN, frozenset({"a", "b"}), -0.0]
    kind = np.array([0, 6, 2, 2], np.int64)
    effects = np.arange(14, dtype=np.float64).reshape(7, 2)
    sources = (("part", "tyres", "mass"), ("measure", "mass", ""))
    columns = ValueColumn.of(values), ValueColumn.of(values[::-1])
    known = FigureValues(kind, *columns, sources, effects)
    written = kept_values._figure_written(known)
    again = kept_values._figure_unwritten(written, 4)
    assert [(type(v), v) for v in again.rounded] == [(type(v), v) for v in values]
    assert list(again.exact) == values[::-1]
    assert again.sources == sources
    assert again.kind.tolist() == kind.tolist()
    assert again.effects.tolist() == effects.tolist()
    assert kept_values._figure_unwritten(written, 5) is None
    tuples = ValueColumn.of([(1,)] * 7)
    assert kept_values._figure_written(replace(known, exact=tuples)) is None
