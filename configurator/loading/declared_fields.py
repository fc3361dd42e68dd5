"""Whether what a plugin declares can be used: every field, before any job meets it.

A value that Python takes without a word (``rounding="upp"``, ``hours="4.5"``) would round to the
unsafe side, or stop a job long after the plugin was loaded. Checked here, with plugin, declaration
and field named; what only a rule's function shows is checked by `configurator.testing`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, get_args

from configurator.core import units
from configurator.core.errors import PluginError, UnitError, nearest
from configurator.model.cross_checks import CrossCheck
from configurator.model.former_names import FormerNames
from configurator.model.kinds import KINDS, is_number, kind_of
from configurator.model.parts import PLACES, Attribute, Family, Position
from configurator.model.phases import Phase
from configurator.model.references import REFERENCES, EachValue, FigureValue
from configurator.model.rules import (
    CONCERNS,
    Caution,
    Figure,
    Fit,
    Limit,
    Operation,
    Rounding,
    Total,
)
from configurator.model.tolerances import read_tolerance
from configurator.model.vehicles import Condition, Measure, Practice

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

ROUNDINGS = get_args(Rounding)

# What is declared is anybody's: no field need be what its annotation says, hence `Any` below.

# What is wrong with a field: its name, what, what to do.
Flaw = tuple[str, str, str]


def refuse_unsound(plugin: str, declared: Iterable[Any]) -> None:
    """Refuse a plugin that declares something with a field that cannot be used.

    Parameters
    ----------
    plugin
        Its name.
    declared
        Families, measures, conditions, practices and rules, as they are declared.

    Raises
    ------
    PluginError
        With every such field: declaration, field, what is wrong, what to do.
    """
    faults = [
        (f"{name}, {field}: {what}", do)
        for declaration in declared
        for name, (field, what, do) in flaws_of(declaration)
    ]
    if faults:
        *others, (what, do) = faults
        before = [f"{earlier}; {remedy}" for earlier, remedy in others]
        raise PluginError(plugin, "\n".join([*before, what]), do)


def flaws_of(declaration: Any) -> Iterator[tuple[str, Flaw]]:
    """Yield the fields of a declaration that cannot be used, each with whose they are.

    Examples
    --------
    >>> [flaw[:2] for _, flaw in flaws_of(Practice("gap", "air", 5.0, "invented", unit="mmm"))]
    [('unit', "unit 'mmm' is not known")]
    """
    if isinstance(declaration, FormerNames):
        yield from (("former names", flaw) for flaw in _former_names(declaration))
        return
    kind = type(declaration).__name__.lower()
    key = declaration.key if isinstance(declaration, Family) else declaration.name
    name = f"{kind} {key!r}"
    if not isinstance(key, str) or not key.strip():
        yield name, ("name", f"{key!r} is no name", "say in words what it is")
        return
    if isinstance(declaration, Family):
        yield from _family(declaration, name)
        return
    checks = _CHECKS[type(declaration)]
    for flaw in checks(declaration):
        yield name, flaw


# -- families -----------------------------------------------------------------------------------


def _family(family: Any, name: str) -> Iterator[tuple[str, Flaw]]:
    pieces = family.pieces
    if not isinstance(pieces, str) and not (is_number(pieces) and pieces >= 1):
        yield name, ("pieces", f"{pieces!r} is no number of pieces", "write a whole number from 1")
    if not isinstance(family.optional, bool):
        yield name, ("optional", f"{family.optional!r} is not yes or no", "write True or False")
    if not family.positions:
        yield name, ("positions", "it has none", "say where its parts go: Position('...')")
    for position in family.positions:
        if not isinstance(position, Position):
            yield name, ("positions", f"{position!r} is no position", "write Position('...')")
        elif position.place not in PLACES:
            do = nearest(str(position.place), PLACES, otherwise=f"use one of {_listed(PLACES)}")
            what = f"{position.place!r} of {position.name!r} is no place on a vehicle"
            yield name, ("positions", what, do)
    for attribute in family.attributes:
        if not isinstance(attribute, Attribute):
            what = f"{attribute!r} is no attribute"
            yield name, ("attributes", what, "write Attribute('...', '...')")
            continue
        whose = f"{name}, attribute {attribute.name!r}"
        for flaw in _described(attribute):
            yield whose, flaw
        if attribute.when_empty is not None and not kind_of(attribute).is_declared(
            attribute.when_empty
        ):
            what = f"{attribute.when_empty!r} is no value of kind {attribute.kind!r}"
            yield whose, ("when_empty", what, f"write {kind_of(attribute).declared_as}, or None")


# -- what has a value ---------------------------------------------------------------------------


def _described(declared: Any) -> Iterator[Flaw]:
    """Check kind, unit, bounds and choices."""
    if declared.kind not in KINDS:
        do = nearest(str(declared.kind), KINDS, otherwise=f"use one of {_listed(KINDS)}")
        yield "kind", f"{declared.kind!r} is no kind of value", do
        return
    yield from _unit(declared.unit)
    yield from _tolerance(declared.tolerance, declared.unit)
    kind = kind_of(declared)
    if not kind.numeric and declared.unit:
        yield "unit", f"{declared.kind} has no unit", "leave it out"
    yield from _bounds(declared.at_least, declared.at_most)
    choices = declared.choices
    if not isinstance(choices, tuple) or any(not isinstance(word, str) for word in choices):
        yield "choices", f"{choices!r} is no tuple of words", 'write ("...", "...")'
    elif choices and not kind.has_choices:
        yield "choices", f"{declared.kind} has no choices", 'leave them out, or use kind="text"'


def _measure(measure: Any) -> Iterator[Flaw]:
    yield from _described(measure)
    if measure.kind not in KINDS:
        return
    if measure.default is not None:
        yield from _default(measure.default, measure)
    usual, numeric = measure.usual, kind_of(measure).numeric
    if usual and measure.default is None:
        yield "usual", "there is no default that it could vary about", "give a default as well"
    for value in usual:
        for _, what, do in _default(value, measure):
            yield "usual", what, do
    if numeric and len(usual) not in (0, 2):
        yield "usual", f"{usual!r} are not two bounds", "write (lowest, highest)"
    elif (
        numeric
        and usual
        and all(map(is_number, (*usual, measure.default)))
        and not usual[0] <= measure.default <= usual[1]
    ):
        yield "usual", f"{measure.default!r} does not lie between {usual!r}", "correct one"


def _default(value: Any, measure: Any) -> Iterator[Flaw]:
    kind = kind_of(measure)
    if not kind.is_declared(value):
        what = f"{value!r} is no value of kind {measure.kind!r}"
        yield "default", what, f"write {kind.declared_as}"
    elif kind.numeric:
        yield from _within("default", value, measure.at_least, measure.at_most)
    elif measure.choices and value not in measure.choices:
        do = nearest(
            str(value), measure.choices, otherwise=f"use one of {_listed(measure.choices)}"
        )
        yield "default", f"{value!r} is not one of its choices", do


def _condition(condition: Any) -> Iterator[Flaw]:
    flawed = list(_unit(condition.unit))
    yield from flawed
    yield from _tolerance(condition.tolerance, condition.unit)
    yield from _bounds(condition.at_least, condition.at_most)
    if not isinstance(condition.default, str):
        do = f"write it with its unit, as text: '100 {condition.unit}'"
        yield "default", f"{condition.default!r} is no text", do
    elif condition.default and not flawed:
        try:
            value = units.from_si(units.parse(condition.default, condition.unit), condition.unit)
        except UnitError as problem:
            yield "default", problem.what, problem.do
        else:
            yield from _within("default", value, condition.at_least, condition.at_most)


def _tolerance(text: Any, unit: Any) -> Iterator[Flaw]:
    if not text:
        return
    try:
        read_tolerance(text, unit)
    except (ValueError, UnitError, TypeError, AttributeError):
        do = f"write how far the value may be off: '2 {unit}', or '1 %' of it"
        yield "tolerance", f"{text!r} is no tolerance", do


def _concerns(concerns: Any) -> Iterator[Flaw]:
    if concerns and concerns not in CONCERNS:
        do = nearest(str(concerns), CONCERNS, otherwise=f"use one of {_listed(tuple(CONCERNS))}")
        yield "concerns", f"{concerns!r} is nothing that a rule concerns", do


def _practice(practice: Any) -> Iterator[Flaw]:
    if not is_number(practice.for_error) or not 0.0 <= practice.for_error <= 1.0:
        yield "for_error", f"{practice.for_error!r} is no share", "write a number from 0 to 1"
    yield from _unit(practice.unit)
    yield from _bounds(practice.at_least, practice.at_most)
    if not is_number(practice.default):
        yield "default", f"{practice.default!r} is no number", "write a number in its unit"
    else:
        yield from _within("default", practice.default, practice.at_least, practice.at_most)


# -- rules --------------------------------------------------------------------------------------


def _figure(figure: Any) -> Iterator[Flaw]:
    yield from _unit(figure.unit)
    yield from _tolerance(figure.tolerance, figure.unit)
    if not is_number(figure.resolution) or figure.resolution < 0.0:
        yield "resolution", f"{figure.resolution!r} is no step", "write a number from 0"
    if figure.rounding not in ROUNDINGS:
        do = nearest(str(figure.rounding), ROUNDINGS, otherwise=f"use one of {_listed(ROUNDINGS)}")
        yield "rounding", f"{figure.rounding!r} is no side to round to", do


def _limit(limit: Any) -> Iterator[Flaw]:
    yield from _unit(limit.unit)
    yield from _concerns(limit.concerns)
    yield from _bounds(limit.at_least, limit.at_most, references=True)
    if not isinstance(limit.quantity, str):
        yield "quantity", f"{limit.quantity!r} is no text", "write a short noun phrase"
    if limit.at_least is None and limit.at_most is None:
        yield "at_least, at_most", "it has neither, so it forbids nothing", "give it a bound"


def _total(total: Any) -> Iterator[Flaw]:
    yield from _unit(total.unit)
    yield from _concerns(total.concerns)
    yield from _bounds(total.at_least, total.at_most, references=True)
    if not is_number(total.start) and not isinstance(total.start, REFERENCES):
        yield "start", f"{total.start!r} is no number", "write a number, or vehicle('...')"


def _operation(operation: Any) -> Iterator[Flaw]:
    if not is_number(operation.hours) or operation.hours < 0.0:
        yield "hours", f"{operation.hours!r} is no number of hours", "write a number such as 1.5"
    if not isinstance(operation.after, tuple) or any(
        not isinstance(name, str) for name in operation.after
    ):
        yield "after", f"{operation.after!r} is no tuple of names", 'write ("...",)'
    if not isinstance(operation.check, bool):
        yield "check", f"{operation.check!r} is not yes or no", "write True or False"
    if not isinstance(operation.station, str):
        yield "station", f"{operation.station!r} is no text", "write where it is done"
    if not isinstance(operation.uses, Mapping):
        yield "uses", f"{operation.uses!r} names no amounts", 'write {"...": 1.0}'
        return
    for material, amount in operation.uses.items():
        sound = isinstance(amount, FigureValue) or (is_number(amount) and amount >= 0.0)
        if not isinstance(material, str) or not sound:
            what = f"{amount!r} of {material!r} is no amount"
            yield "uses", what, "write a number from 0, or computed('...'), for each name"
    if not isinstance(operation.phase, str):
        yield "phase", f"{operation.phase!r} is no text", "write the name of a phase"


def _phase(phase: Any) -> Iterator[Flaw]:
    for field in ("after", "before"):
        names = getattr(phase, field)
        if not isinstance(names, tuple) or any(not isinstance(name, str) for name in names):
            yield field, f"{names!r} is no tuple of names", 'write ("...",)'


def _caution(caution: Any) -> Iterator[Flaw]:
    for field in ("says", "inspect", "approve"):
        if not isinstance(getattr(caution, field), str):
            yield field, f"{getattr(caution, field)!r} is no text", "write what is to be said"


def _former_names(former: Any) -> Iterator[Flaw]:
    if not isinstance(former.names, Mapping):
        yield "names", f"{former.names!r} is no mapping", "write {old: new}"
        return
    for old, new in former.names.items():
        if not (isinstance(old, str) and isinstance(new, str) and old.strip() and new.strip()):
            yield "names", f"{old!r}: {new!r} are no names", "write an old name and the new one"


def _cross_check(check: Any) -> Iterator[Flaw]:
    for field in ("do", "family"):
        if not isinstance(getattr(check, field), str):
            yield field, f"{getattr(check, field)!r} is no text", "write a text"
    each = [isinstance(item.reference, EachValue) for item in check.inputs]
    if check.family and not all(each):
        yield "inputs", "of a family's part it reads something else", "read each('...') only"
    elif not check.family and any(each):
        yield "family", "it reads each(), and names no family", "write family='...'"


def _nothing(_: Fit) -> Iterator[Flaw]:
    return iter(())


_CHECKS: dict[type, Any] = {
    Measure: _measure,
    Condition: _condition,
    Practice: _practice,
    Figure: _figure,
    Limit: _limit,
    Total: _total,
    Fit: _nothing,
    Operation: _operation,
    Phase: _phase,
    Caution: _caution,
    CrossCheck: _cross_check,
}


# -- values -------------------------------------------------------------------------------------


def _unit(unit: Any) -> Iterator[Flaw]:
    if not isinstance(unit, str):
        yield "unit", f"{unit!r} is no text", "write a unit such as 'mm', or '' for a plain number"
        return
    try:
        units.to_si(1.0, unit)
    except UnitError as problem:
        yield "unit", problem.what, problem.do
    except Exception:  # pint knows units that no number can be converted from
        yield "unit", f"unit {unit!r} cannot be converted", "use a unit such as mm, in, kg"


def _bounds(low: Any, high: Any, *, references: bool = False) -> Iterator[Flaw]:
    for field, bound in (("at_least", low), ("at_most", high)):
        sound = bound is None or is_number(bound)
        if not sound and not (references and isinstance(bound, REFERENCES)):
            yield field, f"{bound!r} is no bound", "write a number in its unit"
            return
    if is_number(low) and is_number(high) and low > high:
        yield "at_least", f"{low!r} lies above at_most, {high!r}", "exchange them or correct one"


def _within(field: str, value: float, low: Any, high: Any) -> Iterator[Flaw]:
    if (is_number(low) and value < low) or (is_number(high) and value > high):
        yield field, f"{value!r} is out of its own bounds", "correct it or the bounds"


def _listed(names: Iterable[str]) -> str:
    return ", ".join(repr(name) for name in names)
