"""Answers of bundled rules on disk: as asked anew, and of the same code and values only."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from configurator.core import code_digest
from configurator.evaluation.evaluator import Evaluation
from configurator.model.parts import Missing
from configurator.model.rules import Figure
from configurator.search.encoding import encoder, kept_answers
from configurator.search.encoding.kept_answers import KeptAnswers
from configurator.search.encoding.scopes import Term, make_span
from configurator.search.limits import Limits

pytestmark = pytest.mark.usefixtures("data")


def tables_of(evaluation, kept=None):
    model = encoder.make_model(evaluation, ["crawl ratio"], kept=kept)
    if kept is not None:
        kept.save()
    columns = [(t.name, t.variables, [c.tolist() for c in t.columns]) for t in model.tables]
    values = [[(type(value), value) for value in domain] for domain in model.values]
    return columns, values


@pytest.fixture
def asked(monkeypatch):
    """Names of the rules whose functions are asked for whole tables."""
    names = []
    ask = KeptAnswers.ask

    def noted(self, rule, span, work_out):
        def counted():
            names.append(rule.name)
            return work_out()

        return ask(self, rule, span, counted)

    monkeypatch.setattr(KeptAnswers, "ask", noted)
    return names


def test_the_second_time_no_rule_is_asked_and_the_tables_are_the_same(opened, asked):
    expected = tables_of(Evaluation(*opened))
    assert tables_of(Evaluation(*opened), KeptAnswers(Evaluation(*opened))) == expected
    assert len(asked) > 100
    asked.clear()
    assert tables_of(Evaluation(*opened), KeptAnswers(Evaluation(*opened))) == expected
    assert asked == []


def test_where_a_measure_is_another_the_rules_that_read_it_are_asked_again(opened, asked):
    case, trade = opened
    tables_of(Evaluation(case, trade), KeptAnswers(Evaluation(case, trade)))
    every = set(asked)
    asked.clear()
    name = "wheelbase"
    values = {**case.vehicle.values, name: case.vehicle.values[name] + 0.1}
    longer = replace(case, vehicle=replace(case.vehicle, values=values))
    expected = tables_of(Evaluation(longer, trade))
    assert tables_of(Evaluation(longer, trade), KeptAnswers(Evaluation(longer, trade))) == expected
    assert asked
    assert set(asked) < every


def test_another_code_is_asked_again(opened, asked, monkeypatch):
    expected = tables_of(Evaluation(*opened), KeptAnswers(Evaluation(*opened)))
    first = len(asked)
    monkeypatch.setattr(kept_answers, "_code", lambda: "another")
    assert tables_of(Evaluation(*opened), KeptAnswers(Evaluation(*opened))) == expected
    assert len(asked) == 2 * first


def test_sources_that_changed_since_they_were_read_name_nothing(tmp_path, monkeypatch):
    (tmp_path / "a.py").write_text("one = 1\n")
    first = code_digest.code_digest([tmp_path])
    assert first
    assert code_digest.code_digest([tmp_path]) == first
    monkeypatch.setattr(code_digest, "_READ_BEFORE", 0.0)
    assert code_digest.code_digest([tmp_path]) == ""  # also where it was hashed before
    monkeypatch.setattr(code_digest, "_READ_BEFORE", float("inf"))
    (tmp_path / "a.py").write_text("one = 2\n")
    code_digest._hashed.cache_clear()  # another program
    assert code_digest.code_digest([tmp_path]) not in ("", first)
    assert code_digest.code_digest([tmp_path / "none"]) == ""


def test_without_sources_nothing_is_kept(opened, asked, data, monkeypatch):
    monkeypatch.setattr(kept_answers, "_code", lambda: "")
    for _ in range(2):
        tables_of(Evaluation(*opened), KeptAnswers(Evaluation(*opened)))
    assert len(asked) == 2 * len(set(asked))
    assert not list(data.glob("*/*"))


def length(size: float) -> float:
    return size


def test_a_rule_of_others_is_asked_every_time(opened, data):
    bundled = next(iter(opened[1].figures.values()))
    span = make_span(bundled, [Term(1.0)], {}, [])
    calls = []
    for function in (length, bundled.function):
        rule = replace(bundled, function=function, inputs=())
        for _ in range(2):
            kept = KeptAnswers(Evaluation(*opened))
            kept.ask(rule, span, lambda rule=rule: calls.append(rule.function) or [1.0])
            kept.save()
    assert calls == [length, length, bundled.function]


def key(rule, terms, values):
    columns = {0: np.arange(len(values[0]), dtype=np.int32)}
    return kept_answers._key(rule, make_span(rule, terms, columns, values))


def test_whatever_an_answer_hangs_on_is_in_its_name(opened):
    rule = next(rule for rule in opened[1].figures.values() if isinstance(rule, Figure))
    inputs = [Term(position="tyres", variable=0), Term(1.0)]
    values = [1.0, 2.0]
    keys = {
        key(rule, inputs, [values]),
        key(rule, inputs, [[1.0, 3.0]]),
        key(rule, inputs, [[1, 2.0]]),
        key(rule, inputs, [[True, 2.0]]),
        key(rule, inputs, [[Missing.UNKNOWN, 2.0]]),
        key(rule, inputs, [[Missing.NOT_FITTED, 2.0]]),
        key(rule, inputs, [["1.0", 2.0]]),
        key(rule, inputs, [[frozenset({"a"}), 2.0]]),
        key(rule, inputs[::-1], [values]),
        key(rule, [inputs[0], Term(2.0)], [values]),
        key(rule, [inputs[0], Term(None)], [values]),
        key(rule, [inputs[0], inputs[0]], [values]),
        key(replace(rule, name="other"), inputs, [values]),
        key(replace(rule, resolution=12.5), inputs, [values]),
        key(replace(rule, inputs=()), inputs, [values]),
        key(replace(rule, function=length), inputs, [values]),
    }
    assert len(keys) == 16
    assert key(rule, inputs, [values]) in keys


def test_every_kind_of_answer_is_read_back_as_it_was():
    answers = [1, 1.0, True, -0.0, 0.1 + 0.2, float("inf"), "a", Missing.UNKNOWN, frozenset("ab")]
    written = kept_answers._written(answers)
    again = kept_answers._unwritten(written, len(answers))
    assert [(type(a), repr(a) if isinstance(a, float) else a) for a in again] == [
        (type(a), repr(a) if isinstance(a, float) else a) for a in answers
    ]
    assert kept_answers._unwritten(written, len(answers) + 1) is None
    held = np.array([True, False, True])
    again = kept_answers._unwritten(kept_answers._written(held), 3)
    assert (again.dtype, again.tolist()) == (np.bool_, held.tolist())
    assert kept_answers._written([(1, 2)]) is None


def test_what_was_worked_out_last_is_kept_where_there_is_not_room_for_all(opened):
    rule = next(iter(opened[1].figures.values()))
    calls = []

    def ask(number):
        kept = KeptAnswers(Evaluation(*opened), Limits(answer_bytes=250))
        span = make_span(rule, [Term(float(number))], {}, [])
        answers = kept.ask(rule, span, lambda: calls.append(number) or ["a" * 100])
        kept.save()
        return answers

    for number in (1, 2, 1, 3, 3, 2, 1):
        assert ask(number) == ["a" * 100]
    assert calls == [1, 2, 3, 1]
