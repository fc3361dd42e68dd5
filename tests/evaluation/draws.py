"""Vehicles as they might be, drawn from the tolerances with an arithmetic of its own.

Draws ask the rule functions and nothing else: no table, no slope, nothing rounded.
"""

from __future__ import annotations

from configurator.model.parts import Missing
from configurator.model.references import (
    ConditionValue,
    EachValue,
    FigureValue,
    FittedValue,
    PartValue,
    VehicleValue,
)
from configurator.model.rules import Total


def is_number(value):
    return isinstance(value, int | float) and not isinstance(value, bool)


def half_width(value, tolerance):
    return None if tolerance is None or not is_number(value) else tolerance.half_width(value)


class Draw:
    """One vehicle as it might be: every source off by a share of its tolerance.

    ``nominal`` only names the estimates. All draws of a package share it, and ``read``, what they
    read: what is written down of each source, and how far that may be off.
    """

    def __init__(self, evaluation, choice, chance, nominal, read):
        self.evaluation, self.choice, self.chance = evaluation, choice, chance
        self.shares: dict = {}
        self.known: dict = {}
        self.nominal, self.read = nominal, read

    def off(self, source, value, half_width):
        if half_width is None:
            return value
        if source not in self.shares:
            self.shares[source] = self.chance.uniform(-1.0, 1.0)
        return value + self.shares[source] * half_width

    def attribute(self, option, name):
        source = ("part" if option.changed else "fitted", option.position, name)
        if source not in self.read:
            value = self.evaluation.attribute(option, name)
            tolerance = self.evaluation.tolerances.of_part(option.position, option.part, name)
            self.read[source] = value, half_width(value, tolerance)
        return self.off(source, *self.read[source])

    def value(self, reference, choice):
        evaluation, table = self.evaluation, self.evaluation.tolerances
        if isinstance(reference, PartValue):
            return self.attribute(choice[reference.position], reference.attribute)
        if isinstance(reference, FittedValue):
            return self.attribute(evaluation.fitted[reference.position], reference.attribute)
        if isinstance(reference, FigureValue):
            return self.figure(reference.name, evaluation.fitted if reference.before else choice)
        if reference not in self.read:
            value, tolerance = evaluation.constant(reference), None
            if isinstance(reference, VehicleValue):
                tolerance = table.of_measure(reference.name)
            elif isinstance(reference, ConditionValue):
                tolerance = table.of_condition(reference.name)
            self.read[reference] = value, half_width(value, tolerance)
        return self.off(reference, *self.read[reference])

    def figure(self, name, choice):
        stands = choice is self.evaluation.fitted
        if (name, stands) not in self.known:
            rule = self.evaluation.definition(name)
            if isinstance(rule, Total):
                value = self.total(rule, choice)
            else:
                inputs = tuple(self.value(read.reference, choice) for read in rule.inputs)
                answer = self.evaluation.ask(rule, inputs)
                value = Missing.NOT_FITTED if answer is None else answer
                nominal = (self.nominal.before() if stands else self.nominal).figure(name)
                exact = nominal.exact
                source = ("estimate", name, f"{exact:.9g}") if is_number(exact) else None
                if source in nominal.effects:
                    tolerance = self.evaluation.tolerances.of_figure(name)
                    value = self.off(source, value, half_width(value, tolerance))
            self.known[name, stands] = value
        return self.known[name, stands]

    def total(self, rule, choice):
        start = rule.start
        value = start if is_number(start) else self.value(start, choice)
        for option in choice.values():
            if option.changed:
                value += self.term(rule, option)
                value -= self.term(rule, self.evaluation.fitted[option.position])
        return value

    def term(self, rule, option):
        place = (rule.name, option.position, option.changed)
        if place not in self.read:
            names = [
                read.reference.attribute if isinstance(read.reference, EachValue) else None
                for read in rule.inputs
            ]
            known = self.evaluation.term_values(rule, option)
            self.read[place] = [
                (name if name in option.part.values else None, value)
                for name, value in zip(names, known, strict=True)
            ]
        values = [
            value if name is None else self.attribute(option, name)
            for name, value in self.read[place]
        ]
        amount = self.evaluation.ask(rule, tuple(values))
        return amount if is_number(amount) else 0.0

    def margin(self, rule):
        choice = self.choice
        if isinstance(rule, Total):
            has = self.figure(rule.name, choice)
        else:
            inputs = tuple(self.value(rule_input.reference, choice) for rule_input in rule.inputs)
            has = self.evaluation.ask(rule, inputs)
        margins = []
        for bound, sign in ((rule.at_least, 1.0), (rule.at_most, -1.0)):
            if bound is not None:
                held = (
                    self.evaluation.bound(rule, bound, choice)
                    if is_number(bound)
                    else self.value(bound, choice)
                )
                margins.append(sign * (has - held))
        return min(margins)
