"""Kinds of part that a choice needs because of the budget, against all explanations there are."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace

import pytest

from configurator.consequences import upgrades
from configurator.consequences.shared_properties import reads_at, splitting_kinds
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.packages import make_package
from configurator.model.jobs import Case, Job, Workshop
from configurator.model.knowledge import checked_rules, gather
from configurator.model.parts import FITTED, Attribute, Family, Part, Position
from configurator.model.references import Input, PartValue
from configurator.model.requirements import Wish, wishes_of, with_wishes
from configurator.model.rules import Fit, Limit
from configurator.model.vehicles import Vehicle
from configurator.search.optimum import preparing, verification


def _sum(x0: float, x1: float) -> float:
    return x0 + x1


def _alike(x0: str, x1: str) -> bool:
    return x0 == x1


def _inputs(*references):
    return tuple(Input(f"x{k}", reference) for k, reference in enumerate(references))


def priced_case(seed):
    """Parts that must bear enough together, where bearing much is dear; and must have one code."""
    chance = random.Random(f"priced {seed}")
    attributes = (Attribute("a", "any"), Attribute("code", "any", kind="text"))
    families = [Family(f"f{k}", f"F{k}", (Position(f"p{k}"),), attributes) for k in range(3)]

    def part(key, family, price):
        values = {"a": float(chance.randint(0, 4)), "code": chance.choice("xxy"), "mass": 1.0}
        return Part(key, family.key, key, price, values)

    stock = {
        family.key: tuple(part(f"c/{family.key}-{n}", family, 0) for n in range(5))
        for family in families
    }
    # At the second position it costs what it bears.
    stock["f1"] = tuple(replace(p, price=100 * int(p.values["a"])) for p in stock["f1"])
    fitted = {f"p{k}": part(FITTED, family, 0) for k, family in enumerate(families)}
    least = float(chance.choice((3, 4, 5, 6)))
    pairs = [("p0", "p1"), chance.choice((("p0", "p2"), ("p1", "p2")))]
    rules = [
        Limit(
            "bears", "", _sum, _inputs(PartValue("p0", "a"), PartValue("p1", "a")), at_least=least
        ),
        *(
            Fit(
                f"{left} and {right}",
                _alike,
                _inputs(PartValue(left, "code"), PartValue(right, "code")),
            )
            for left, right in pairs
        ),
    ]
    trade = gather(families, [], [], [], rules)
    budget = 100 * chance.randint(0, 3)
    job = Job("priced", "c/v", ("c",), budget=budget, sure=False)
    return Evaluation(Case(job, Vehicle("c/v", "V", {}, fitted), stock, Workshop("shop")), trade)


class Enumerated:
    """What packages there are, listed one by one."""

    def __init__(self, evaluation):
        self.evaluation, self.job = evaluation, evaluation.case.job
        self.rules = [r for r in checked_rules(evaluation.trade) if not evaluation.late(r)]
        self.wishes = wishes_of(self.job)
        self.every = {p: evaluation.options(p) for p in evaluation.families}

    def holds(self, members, position, options, chosen):
        """Whether a package with one of some options keeps these rules and meets these wishes."""
        job = with_wishes(self.job, [*chosen, *(m for m in members if isinstance(m, Wish))])
        rules = [member for member in members if not isinstance(member, Wish)]
        domains = {**self.every, position: tuple(options)}
        return any(
            job.budget is None or make_package(self.evaluation, choice).price <= job.budget
            for choice in verification.packages(self.evaluation, job, domains, rules=rules)
        )

    def smallest_conflicts(self, position, option, chosen):
        """All smallest sets of wishes and rules that rule an option out."""
        members, conflicts = [*self.wishes, *self.rules], []
        for size in range(len(members) + 1):
            for these in itertools.combinations(members, size):
                known = any(set(map(id, c)) <= set(map(id, these)) for c in conflicts)
                if not known and not self.holds(these, position, [option], chosen):
                    conflicts.append(these)
        return conflicts

    def reads(self, member, position):
        return [] if isinstance(member, Wish) else reads_at(self.evaluation, member, position)


def kinds_left(evaluation, answer, position):
    """Kinds that could be told next to those that are, each with the options that lack it."""
    arrows = [arrow for arrow in answer.arrows if arrow.position == position]
    if len(arrows) >= upgrades.MOST_KINDS:
        return
    options = evaluation.options(position)
    remain = [n for n, o in enumerate(options) if o.key in arrows[0].remain]
    fitted = next(n for n, o in enumerate(options) if not o.changed)
    known = [kind for arrow in arrows for kind in arrow.kinds]
    others = [
        n
        for n, option in enumerate(options)
        if option.changed and n not in remain and all(kind.of(evaluation, option) for kind in known)
    ]
    names = [n for n in ("a", "code") if n not in {kind.attribute for kind in known}]
    given = (evaluation, position, options, remain, others, fitted, names)
    for kind, lacking in splitting_kinds(*given):
        yield kind, [options[n] for n in lacking]


@pytest.fixture(scope="module")
def answers():
    """Every choice of small problems with a budget that binds, and what it was said to force."""
    return list(_answers())


def _answers():
    for seed in range(150):
        evaluation = priced_case(seed)
        prepared = preparing.prepare(evaluation, ())
        for position in evaluation.families:
            for option in evaluation.options(position):
                answer = upgrades.forces(prepared, option, "goals")
                if answer.possible:
                    yield seed, evaluation, answer


def test_kinds_that_the_budget_makes_needed_are_told(answers):
    named = missing = 0
    for seed, evaluation, answer in answers:
        listed = Enumerated(evaluation)
        pick = Wish("fixed", answer.option.position, part=answer.option.key)
        positions = list(dict.fromkeys(arrow.position for arrow in answer.arrows))
        for position in positions:
            arrows = [arrow for arrow in answer.arrows if arrow.position == position]
            named += sum(
                any(r.wish is not None and r.wish.kind == "budget" for r in arrow.because)
                for arrow in arrows[1:]
            )
            for kind, lacking in kinds_left(evaluation, answer, position):
                whole = [*listed.wishes, *listed.rules]
                alone = not listed.holds(whole, position, lacking, [])
                chosen = [] if alone else [pick]
                if listed.holds(listed.rules, position, lacking[:1], chosen):
                    missing += 1
                    conflicts = listed.smallest_conflicts(position, lacking[0], chosen)
                    # Not told is what some explanation has no need of, or what it does not explain.
                    assert any(
                        not any(kind.attribute in listed.reads(m, position) for m in conflict)
                        or listed.holds(conflict, position, lacking, chosen)
                        or (kind.exact_number and any(isinstance(m, Limit) for m in conflict))
                        for conflict in conflicts
                    ), (seed, answer.option, position, kind)
    assert named > 20
    assert missing > 20


def test_reasons_with_the_budget_are_sufficient_and_none_can_be_left_out(answers):
    compared = 0
    for seed, evaluation, answer in answers:
        listed = Enumerated(evaluation)
        pick = Wish("fixed", answer.option.position, part=answer.option.key)
        for arrow in answer.arrows:
            members = [reason.wish or reason.rule for reason in arrow.because]
            if not any(isinstance(m, Wish) and m.kind == "budget" for m in members):
                continue
            compared += 1
            chosen = [] if arrow.anyway else [pick]
            given = evaluation.options(arrow.position)
            options = [option for option in given if option.key in arrow.refuses]
            place = arrow.position
            assert not listed.holds(members, place, options, chosen), (seed, arrow)
            for member in members:
                rest = [other for other in members if other is not member]
                assert listed.holds(rest, place, options, chosen), (seed, arrow, member)
    assert compared > 50
