"""Rules asked with whole columns of values answer as they do for one combination at a time."""

from __future__ import annotations

import math

import numpy as np
import pytest

from configurator.core import paths
from configurator.core.errors import PluginError
from configurator.evaluation.evaluator import Evaluation
from configurator.files.job_files import read_case
from configurator.model import verdicts
from configurator.model.parts import Missing
from configurator.model.references import Input, PartValue
from configurator.model.rules import Figure
from configurator.search.encoding import asked_values, encoder, joint_values, many_answers
from configurator.search.encoding.value_columns import ValueColumn
from configurator.search.optimum import queries
from tests import bundled
from tests.search.test_certainty import with_tolerances

JOBS = sorted((paths.catalogs() / "demo" / "jobs").glob("*.toml"))
SOME = 60
# Functions of angles may differ in the last bits where many are worked out at once.
CLOSE = 1e-12


def figure(function, *names, takes_missing=()):
    inputs = tuple(Input(n, PartValue("tyres", n), takes_missing=n in takes_missing) for n in names)
    return Figure("a figure", "", function, inputs, plugin="a plugin")


def asked(function, *columns, takes_missing=(), aside=False):
    names = list(function.__code__.co_varnames[: len(columns)])
    rule = figure(function, *names, takes_missing=takes_missing)
    given = [ValueColumn.of(column) for column in columns]
    return list(many_answers.answers(rule, given, len(columns[0]), aside=aside))


@pytest.fixture
def with_columns(monkeypatch):
    """Any function is asked with columns, however few combinations there are."""
    monkeypatch.setattr(many_answers, "worth_columns", lambda *_: True)


@pytest.fixture
def never_alone(with_columns, monkeypatch):
    """Fail where a function is asked for one combination after the other."""
    message = "asked one by one"
    monkeypatch.setattr(many_answers._Asked, "ask_each", lambda *_: pytest.fail(message))


def test_arithmetic_is_worked_out_for_columns(never_alone):
    def function(a, b):
        return (a + 2 * b) ** 2 / b - abs(-a) + np.sqrt(a) * np.minimum(a, b)

    a, b = [1.0, 2.0, 3.5], [4.0, 0.5, 1.25]
    expected = [function(*each) for each in zip(a, b, strict=True)]
    assert asked(function, a, b) == expected


def test_what_is_decided_both_ways_is_asked_for_each(never_alone):
    def function(a, b):
        if a > b:
            return None
        return max(a, b, 2.0) if b else a

    a, b = [1.0, 2.0, 3.0, -5.0, 0.5], [4.0, 0.0, 3.0, 0.0, 1.0]
    expected = [4.0, Missing.NOT_FITTED, 3.0, -5.0, 2.0]
    assert asked(function, a, b) == expected


def test_a_comparison_is_yes_or_no(never_alone):
    answers = asked(lambda a: a >= 2.0, [1.0, 2.0, 3.0])
    assert answers == [False, True, True]
    assert {type(answer) for answer in answers} == {bool}


def test_texts_codes_and_what_is_missing_are_told_apart(never_alone):
    def function(kind, codes, a, b):
        if b is None:
            return "x" in codes and a
        return a + b if kind == "long" else Missing.UNKNOWN

    kinds = ["long", "short", "long", "long"]
    codes = [frozenset("x"), frozenset("x"), frozenset("y"), frozenset("x")]
    a, b = [1.0, 2.0, 3.0, Missing.UNKNOWN], [0.5, 0.5, Missing.NOT_FITTED, 1.0]
    answers = asked(function, kinds, codes, a, b, takes_missing=("b",))
    assert answers == [1.5, Missing.UNKNOWN, False, Missing.UNKNOWN]
    assert type(answers[2]) is bool


def test_whole_numbers_stay_whole(with_columns):
    answers = asked(lambda teeth, a: teeth if teeth > 10 else a, [9, 12, 12], [0.5, 0.5, 0.7])
    assert [(type(answer), answer) for answer in answers] == [(float, 0.5), (int, 12), (int, 12)]


def test_what_columns_cannot_do_is_asked_one_by_one(with_columns):
    def function(a):
        return math.floor(a) + len(f"{a:.1f}") + round(a)

    assert asked(function, [1.6, 22.4, 3.5]) == [function(a) for a in (1.6, 22.4, 3.5)]
    assert asked(lambda a: f"{a}", [1.5, 2.5]) == ["1.5", "2.5"]
    assert asked(lambda a: {1.5: 2.0}.get(a, 0.0), [1.5, 2.5]) == [2.0, 0.0]
    assert asked(lambda a: a**0.5, [4.0, 2.25]) == [2.0, 1.5]


@pytest.mark.parametrize(
    ("function", "says"),
    [
        (lambda a: 1.0 / (a - 2.0), "ZeroDivisionError"),
        (lambda a: math.sqrt(a - 2.5), "ValueError"),
        (lambda a: a * math.nan if a == 2.0 else a, "NaN"),
        (lambda a: (a * 1e200) ** 2 if a == 2.0 else a, "OverflowError"),
    ],
)
def test_an_error_says_of_which_rule_and_with_what(function, says, with_columns):
    with pytest.raises(PluginError) as problem:
        asked(function, [3.0, 2.0, 4.0])
    assert says in str(problem.value)
    assert "'a figure'" in str(problem.value)
    assert "a=2.0" in str(problem.value)


def test_beside_what_there_is_a_function_may_be_undefined(with_columns):
    answers = asked(lambda a: 1.0 / (a - 2.0), [3.0, 2.0, 4.0], aside=True)
    assert answers == [1.0, Missing.UNKNOWN, 0.5]


def test_an_error_that_a_function_handles_does_not_hide_how_it_decides(with_columns):
    def function(a):
        try:
            return 1.0 if a > 2.0 else 0.0
        except Exception:
            return 7.0

    assert asked(function, [1.0, 3.0]) == [0.0, 1.0]


def test_functions_of_others_are_asked_one_by_one(monkeypatch):
    def function(a):
        return 1.0 if isinstance(a, float) else 0.0

    assert asked(function, [float(a) for a in range(40)]) == [1.0] * 40


def test_to_the_last_bit_only_what_arithmetic_says(with_columns, monkeypatch):
    asked_each = []
    ask_each = many_answers._Asked.ask_each

    def noted(self, rows):
        asked_each.extend(rows.tolist())
        ask_each(self, rows)

    monkeypatch.setattr(many_answers._Asked, "ask_each", noted)
    column = [ValueColumn.of([0.1, 0.7, 1.3])]
    plain = figure(lambda a: a / 3.0 + np.sqrt(a), "a")
    assert list(many_answers.answers(plain, column, 3, exact=True)) == [
        a / 3.0 + np.sqrt(a) for a in column[0]
    ]
    assert asked_each == []
    turned = figure(lambda a: a + np.sin(a), "a")
    assert list(many_answers.answers(turned, column, 3, exact=True)) == [
        a + np.sin(a) for a in column[0]
    ]
    assert asked_each == [0, 1, 2]


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_bundled_rules_answer_as_one_by_one(path, monkeypatch):
    case = read_case(path, bundled.trade())
    chance = np.random.default_rng(0)
    asked_at_once: set[str] = set()
    asked_each: set[str] = set()
    answers, ask_each = many_answers.answers, many_answers._Asked.ask_each

    def noted(self, rows):
        if len(rows) > many_answers.FEW:
            asked_each.add(self._rule.name)
        ask_each(self, rows)

    looked_up: set[str] = set()

    def compared(rule, columns, many, *, aside=False, exact=False, look_up=None):
        def noting():
            looked_up.add(rule.name)
            return look_up()

        with monkeypatch.context() as patch:
            if not exact:
                patch.setattr(many_answers._Asked, "ask_each", noted)
            tabled = None if look_up is None else noting
            result = answers(rule, columns, many, aside=aside, exact=exact, look_up=tabled)
        if many > many_answers.FEW:
            asked_at_once.add(rule.name)
        rows = chance.choice(many, min(many, SOME), replace=False)
        alone = many_answers._Asked(rule, columns, aside)
        alone.ask_each(rows)
        both = [result.at(rows), alone.answers(many).at(rows)]
        if look_up is not None:  # tables know values as rounded
            both = [joint_values._rounded(rule, values) for values in both]
        for value, own in zip(*both, strict=True):
            if not exact and isinstance(own, float) and isinstance(value, float):
                assert math.isclose(value, own, rel_tol=CLOSE, abs_tol=CLOSE), rule.name
            else:
                assert (type(value), value) == (type(own), own), rule.name
        return result

    monkeypatch.setattr(asked_values, "answers", compared)
    encoder.make_model(Evaluation(case, bundled.trade()), queries.goal_figures(case.job), sure=True)
    assert len(asked_at_once) > 100
    assert len(asked_each) < len(asked_at_once) / 10, asked_each
    assert len(looked_up) > 5


@pytest.mark.parametrize("rounding", ["nearest", "up", "down"])
@pytest.mark.parametrize("resolution", [0.0, 0.1, 5.0])
def test_columns_are_rounded_as_each_number_is(rounding, resolution):
    rule = Figure("a figure", "mm", len, (), resolution=resolution, rounding=rounding)
    chance = np.random.default_rng(0)
    steps = chance.integers(-40, 40, 400) * 0.0005
    near = steps + chance.choice([0.0, 1e-11, -1e-11, 1e-8, -1e-8, 1e-16], 400)
    column = ValueColumn.of([*near.tolist(), Missing.UNKNOWN, *chance.normal(0, 0.01, 200)])
    expected = [n if n is Missing.UNKNOWN else verdicts.rounded(rule, n) for n in column]
    assert list(joint_values._rounded(rule, column)) == expected


@pytest.mark.parametrize("sums", [False, True])
def test_tables_are_the_same_as_one_by_one(sums, monkeypatch):
    marked = 0
    for seed in range(60):
        models = []
        for columns in (True, False):
            with monkeypatch.context() as patch:
                patch.setattr(many_answers, "worth_columns", lambda *_, columns=columns: columns)
                given = with_tolerances(seed, sums=sums)
                figures = queries.goal_figures(given.case.job)
                models.append(encoder.make_model(given.evaluation, figures, sure=True))
        at_once, alone = models
        for table, other in zip(at_once.tables, alone.tables, strict=True):
            assert (table.name, table.variables) == (other.name, other.variables), seed
            for column, known in zip(table.columns, other.columns, strict=True):
                np.testing.assert_array_equal(column, known)
        assert at_once.sure_rows.keys() == alone.sure_rows.keys(), seed
        for number, rows in at_once.sure_rows.items():
            np.testing.assert_array_equal(rows, alone.sure_rows[number])
        marked += len(at_once.sure_rows)
    assert marked > 20
