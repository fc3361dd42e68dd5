"""What the loaded plugins say about the trade, gathered and checked for dangling references."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from configurator.core.errors import PluginError, nearest
from configurator.model.former_names import name_now, names_now
from configurator.model.parts import Family, attributes_of
from configurator.model.phases import phases_before
from configurator.model.references import (
    ConditionValue,
    FigureValue,
    FittedValue,
    PartValue,
    PracticeValue,
    Reference,
    VehicleValue,
)
from configurator.model.rules import Caution, Figure, Fit, Limit, Operation, Rule, Total
from configurator.model.taken_with import guarded, unread_differences

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from pathlib import Path

    from configurator.model.cross_checks import CrossCheck
    from configurator.model.former_names import FormerNames
    from configurator.model.phases import Phase
    from configurator.model.vehicles import Condition, Measure, Practice

# What every position has beside the attributes of its family.
BUILT_IN = ("changed", "present")


@dataclass(frozen=True, slots=True)
class Failure:
    """A plugin that is not in use, and why."""

    plugin: str
    reason: str


@dataclass(frozen=True, slots=True)
class Trade:
    """Everything declared, by name, in a fixed order.

    ``former_names`` holds old name → the one it has now, ``translations`` the folders with what
    plugins say in other languages, ``not_in_use`` the rules that name something nobody declares,
    each with the reason; ``failures`` the plugins that could not be loaded. The last two are said
    wherever a package is shown. ``unrounded``
    holds figures that local rules read as they are; they are not shown.
    """

    families: Mapping[str, Family] = field(default_factory=dict)
    measures: Mapping[str, Measure] = field(default_factory=dict)
    conditions: Mapping[str, Condition] = field(default_factory=dict)
    practices: Mapping[str, Practice] = field(default_factory=dict)
    figures: Mapping[str, Figure] = field(default_factory=dict)
    totals: Mapping[str, Total] = field(default_factory=dict)
    limits: Mapping[str, Limit] = field(default_factory=dict)
    fits: Mapping[str, Fit] = field(default_factory=dict)
    operations: Mapping[str, Operation] = field(default_factory=dict)
    cautions: Mapping[str, Caution] = field(default_factory=dict)
    former_names: Mapping[str, str] = field(default_factory=dict)
    cross_checks: Mapping[str, CrossCheck] = field(default_factory=dict)
    translations: tuple[Path, ...] = ()
    unrounded: Mapping[str, Figure] = field(default_factory=dict)
    phases: Mapping[str, Phase] = field(default_factory=dict)
    not_in_use: tuple[tuple[Rule, str], ...] = ()
    failures: tuple[Failure, ...] = ()

    def worked_out(self, name: str) -> Figure | Total | None:
        """Return the figure or total of a name, those of local rules included."""
        return self.figures.get(name) or self.totals.get(name) or self.unrounded.get(name)

    def family_at(self, position: str) -> Family:
        """Return the family whose parts go to a position."""
        return next(
            family
            for family in self.families.values()
            if any(place.name == position for place in family.positions)
        )


def positions_of(trade: Trade) -> dict[str, Family]:
    """Position name → its family, in order of declaration."""
    return {place.name: family for family in trade.families.values() for place in family.positions}


def checked_rules(trade: Trade) -> list[Limit | Fit | Total]:
    """All rules a package must keep: limits, fits and totals with a bound, in a fixed order."""
    bounded = [t for t in trade.totals.values() if t.at_least is not None or t.at_most is not None]
    return [*trade.limits.values(), *trade.fits.values(), *bounded]


def references(rule: Rule) -> list[Reference]:
    """Everything a rule reads, its bounds included."""
    read = [rule_input.reference for rule_input in rule.inputs]
    bounds = [getattr(rule, key, None) for key in ("at_least", "at_most", "start")]
    read.extend(
        bound for bound in bounds if bound is not None and not isinstance(bound, int | float)
    )
    if isinstance(rule, Operation):
        read.extend(amount for amount in rule.uses.values() if isinstance(amount, FigureValue))
    return read


def measures_behind(trade: Trade, rule: Rule) -> set[str]:
    """Return the measures of the vehicle that a rule needs, directly or through figures."""
    return {r.name for r in behind(trade, rule, set()) if isinstance(r, VehicleValue)}


def conditions_behind(trade: Trade, rule: Rule) -> set[str]:
    """Return what of the job a rule needs, directly or through figures."""
    return {r.name for r in behind(trade, rule, set()) if isinstance(r, ConditionValue)}


def behind(trade: Trade, rule: Rule, seen: set[str]) -> Iterator[Reference]:
    """Yield what a rule reads, directly or through figures; ``seen`` are not looked at again."""
    for reference in references(rule):
        yield reference
        if isinstance(reference, FigureValue) and reference.name not in seen:
            seen.add(reference.name)
            deeper = trade.worked_out(reference.name)
            if deeper is not None:
                yield from behind(trade, deeper, seen)


def _in_words(rule: Rule) -> list[Reference]:
    """Figures whose values the words of a caution hold."""
    names = rule.figures_in_words if isinstance(rule, Caution) else ()
    return [FigureValue(name) for name in names]


def rules_reading(trade: Trade) -> dict[str, tuple[str, ...]]:
    """Measure of the vehicle → names of the rules that need it, directly or through figures."""
    rules_by_measure: dict[str, dict[str, None]] = {}
    for rule in checked_rules(trade):
        for name in measures_behind(trade, rule):
            rules_by_measure.setdefault(name, {})[rule.name] = None
    return {name: tuple(rules) for name, rules in rules_by_measure.items()}


def gather(
    families: Iterable[Family],
    measures: Iterable[Measure],
    conditions: Iterable[Condition],
    practices: Iterable[Practice],
    rules: Iterable[Rule],
    failures: Iterable[Failure] = (),
    former_names: Iterable[FormerNames] = (),
    cross_checks: Iterable[CrossCheck] = (),
    phases: Iterable[Phase] = (),
) -> Trade:
    """Put declarations together and set aside the rules that cannot be used.

    Raises
    ------
    PluginError
        If two declarations share a name, figures or phases are defined in a circle, or an operation
        names a phase or another operation that nobody declares.
    """
    everything = list(rules)
    draft = Trade(
        families=_by_name(families, "key"),
        measures=_by_name(measures),
        conditions=_by_name(conditions),
        practices=_by_name(practices),
        phases=_by_name(phases),
        failures=tuple(failures),
        former_names=names_now(former_names),
    )
    positions = positions_of(draft)
    if len(positions) != sum(len(f.positions) for f in draft.families.values()):
        seen: set[str] = set()
        for family in draft.families.values():
            for place in family.positions:
                if place.name in seen:
                    raise PluginError(
                        family.key,
                        f"position {place.name!r} is declared twice",
                        "rename one of them",
                    )
                seen.add(place.name)
    kinds = {kind: _by_name(r for r in everything if isinstance(r, kind)) for kind in _KINDS}
    for item, other in ((Figure, Total), (Limit, Fit), (Limit, Total), (Fit, Total)):
        shared = set(kinds[item]) & set(kinds[other])
        if shared:
            name = min(shared)
            raise PluginError(
                name,
                f"{name!r} is a {item.__name__.lower()} and a {other.__name__.lower()}",
                "rename one of them",
            )

    _refuse_unknown_order(draft.phases, kinds[Operation])

    # A rule that reads something missing takes with it every rule that reads its figure.
    reasons: dict[str, str] = {}
    changed = True
    while changed:
        changed = False
        for rule in everything:
            key = f"{type(rule).__name__} {rule.name}"
            if key in reasons:
                continue
            for reference in [*references(rule), *_in_words(rule)]:
                reason = _dangling(reference, draft, positions, kinds, reasons)
                if reason:
                    reasons[key] = reason
                    changed = True
                    break

    def usable(kind: type) -> dict[str, Rule]:
        return {n: r for n, r in kinds[kind].items() if f"{kind.__name__} {n}" not in reasons}

    worked_out = {**kinds[Figure], **kinds[Total]}

    def guarded_rules(kind: type) -> dict[str, Rule]:
        return {
            name: guarded(
                rule,
                [
                    item
                    for item in unread_differences(rule, draft.measures, references, worked_out.get)  # type: ignore[arg-type]
                    if item.position in positions
                ],
            )
            for name, rule in usable(kind).items()
        }

    _refuse_circles({**usable(Figure), **usable(Total)})
    return Trade(
        families=draft.families,
        measures=draft.measures,
        conditions=draft.conditions,
        practices=draft.practices,
        figures=guarded_rules(Figure),  # type: ignore[arg-type]
        totals=usable(Total),  # type: ignore[arg-type]
        limits=guarded_rules(Limit),  # type: ignore[arg-type]
        fits=guarded_rules(Fit),  # type: ignore[arg-type]
        operations=usable(Operation),  # type: ignore[arg-type]
        cautions=usable(Caution),  # type: ignore[arg-type]
        former_names=draft.former_names,
        cross_checks=_by_name(cross_checks),
        phases=draft.phases,
        not_in_use=tuple(
            (rule, reasons[f"{type(rule).__name__} {rule.name}"])
            for rule in everything
            if f"{type(rule).__name__} {rule.name}" in reasons
        ),
        failures=draft.failures,
    )


def without_rules(trade: Trade, names: Iterable[str]) -> Trade:
    """Leave limits and fits out that a job lifts."""
    lifted = frozenset(names)
    return replace(
        trade,
        limits={name: rule for name, rule in trade.limits.items() if name not in lifted},
        fits={name: rule for name, rule in trade.fits.items() if name not in lifted},
    )


def with_rules(
    trade: Trade, rules: Iterable[Limit | Caution], figures: Mapping[str, Figure] | None = None
) -> Trade:
    """Add limits and cautions that hold for one job only, such as local rules.

    ``figures`` are those that they alone read.
    """
    added = list(rules)
    limits = {rule.name: rule for rule in added if isinstance(rule, Limit)}
    cautions = {rule.name: rule for rule in added if isinstance(rule, Caution)}
    return replace(
        trade,
        limits={**trade.limits, **limits},
        cautions={**trade.cautions, **cautions},
        unrounded={**trade.unrounded, **(figures or {})},
    )


_KINDS: tuple[type, ...] = (Figure, Limit, Fit, Total, Operation, Caution)


def _by_name(things: Iterable, attribute: str = "name") -> dict:  # type: ignore[type-arg]
    by_name: dict = {}  # type: ignore[type-arg]
    for thing in things:
        name = getattr(thing, attribute)
        if name in by_name:
            kind = type(thing).__name__.lower()
            raise PluginError(
                getattr(thing, "plugin", "") or name,
                f"{kind} {name!r} is declared twice",
                "rename one of them",
            )
        by_name[name] = thing
    return by_name


def _refuse_unknown_order(phases: Mapping[str, Phase], operations: Mapping[str, Operation]) -> None:
    """Refuse an order of work that names what nobody declares: all such names at once."""
    faults: list[tuple[str, str, str, Mapping[str, Any]]] = [
        (phase.plugin, f"phase {phase.name!r}, {field}: there is no phase {name!r}", name, phases)
        for phase in phases.values()
        for field in ("after", "before")
        for name in getattr(phase, field)
        if name not in phases
    ]
    for rule in operations.values():
        if rule.phase and rule.phase not in phases:
            what = f"operation {rule.name!r}, phase: there is no phase {rule.phase!r}"
            faults.append((rule.plugin, what, rule.phase, phases))
        for name in rule.after:
            if name not in operations:
                what = f"operation {rule.name!r}, after: there is no operation {name!r}"
                faults.append((rule.plugin, what, name, operations))
    if faults:
        hints = [f"{what} ({nearest(name, known)})" for _, what, name, known in faults]
        plugin = faults[0][0] or faults[0][2]
        raise PluginError(plugin, "\n".join(hints), "name one that is declared, or leave it out")
    phases_before(phases)


def _dangling(
    reference: Reference,
    draft: Trade,
    positions: Mapping[str, Family],
    kinds: Mapping[type, Mapping[str, Rule]],
    reasons: Mapping[str, str],
) -> str:
    """Why a reference cannot be followed; empty where it can."""
    if isinstance(reference, PartValue | FittedValue):
        if reference.position not in positions:
            return _undeclared("position", reference.position, positions, draft)
        known = {a.name for a in attributes_of(positions[reference.position])} | set(BUILT_IN)
        if reference.attribute not in known:
            new = name_now(reference.attribute, draft.former_names, known)
            if new != reference.attribute:
                return f"the attribute {reference.attribute!r} is called {new!r} now"
            hint = nearest(reference.attribute, known)
            return f"{reference.position!r} has no attribute {reference.attribute!r} ({hint})"
    for kind, table, what in (
        (VehicleValue, draft.measures, "measure"),
        (ConditionValue, draft.conditions, "condition"),
        (PracticeValue, draft.practices, "practice"),
    ):
        if isinstance(reference, kind) and reference.name not in table:
            return _undeclared(what, reference.name, table, draft)
    if isinstance(reference, FigureValue):
        both = {**kinds[Figure], **kinds[Total]}
        if reference.name not in both:
            return _undeclared("figure", reference.name, both, draft)
        for kind_name in ("Figure", "Total"):
            deeper = reasons.get(f"{kind_name} {reference.name}")
            if deeper:
                return f"{reference.name!r} cannot be worked out: {deeper}"
    return ""


def _undeclared(what: str, name: str, known: Iterable[str], draft: Trade) -> str:
    new = name_now(name, draft.former_names, known)
    if new != name:
        return f"the {what} {name!r} is called {new!r} now"
    return f"no loaded plugin declares the {what} {name!r} ({nearest(name, known)})"


def _refuse_circles(figures: Mapping[str, Rule]) -> None:
    done: set[str] = set()

    def visit(name: str, path: tuple[str, ...]) -> None:
        if name in path:
            circle = " → ".join((*path[path.index(name) :], name))
            raise PluginError(
                figures[name].plugin or name,
                f"figures defined in a circle: {circle}",
                "break the circle",
            )
        if name in done:
            return
        for reference in references(figures[name]):
            if isinstance(reference, FigureValue) and reference.name in figures:
                visit(reference.name, (*path, name))
        done.add(name)

    for name in sorted(figures):
        visit(name, ())
