"""What must come of a case: the cheapest package, a conflict, a margin, a sound plugin."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.core import money, units
from configurator.evaluation.packages import margins_of
from configurator.model.parts import FITTED, NOTHING
from configurator.questions import answers
from configurator.testing.contract import check_plugin
from configurator.testing.kit import CATALOG, minor

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from configurator.evaluation.packages import Package
    from configurator.model.jobs import Case
    from configurator.model.knowledge import Trade
    from configurator.search.optimum.preparing import Prepared


def assert_package(
    prepared: Prepared, parts: Mapping[str, str], *, price: str | None = None
) -> Package:
    """Say what the cheapest package has at some positions, and what it costs.

    Parameters
    ----------
    prepared
        From `ready`.
    parts
        Position → part key or number, ``"fitted"`` or ``"none"``.
    price
        Of parts and work together.

    Returns
    -------
    Package
        The cheapest.

    Raises
    ------
    AssertionError
        If nothing fits, or something else does.
    """
    answer = answers.find(prepared)
    if not answer.packages:
        reasons = "; ".join(_reason(reason) for reason in answer.conflict)
        raise _failed(what=f"nothing fits: {reasons}")
    package = answer.packages[0]
    for position, wanted in parts.items():
        if position not in package.choice:
            raise _failed(what=f"there is no position {position!r}")
        has = package.choice[position].key
        if has not in (wanted, f"{CATALOG}/{wanted}") or (
            wanted in (FITTED, NOTHING) and has != wanted
        ):
            raise _failed(what=f"{position}: the cheapest package has {has!r}, not {wanted!r}")
    if price is not None and package.price != minor(price, "price"):
        currency = prepared.evaluation.case.job.currency
        raise _failed(what=f"the package costs {money.Money(package.price, currency)}, not {price}")
    return package


def assert_conflict(
    prepared: Prepared,
    rules: Iterable[str],
    *,
    position: str | None = None,
    part: str | None = None,
) -> None:
    """Say that nothing fits, or that one part does not, because of these rules.

    Parameters
    ----------
    prepared
        From `ready`.
    rules
        Names of the rules in the smallest conflict, all of them.
    position, part
        The part asked about; the job itself if not given.

    Raises
    ------
    AssertionError
        If it is possible after all, or for other reasons not.
    """
    key = part if part is None or "/" in part or part in (FITTED, NOTHING) else f"{CATALOG}/{part}"
    explanation = answers.why(prepared, position, key)
    if explanation.possible:
        raise _failed(what=f"{part or 'the job'} is possible")
    has = sorted(reason.rule.name for reason in explanation.conflict if reason.rule is not None)
    if has != sorted(rules):
        raise _failed(what=f"the rules in the way are {has}, not {sorted(rules)}")


def assert_margin(prepared: Prepared, package: Package, rule: str, margin: str) -> None:
    """Say how far a package stays from a limit, to the last digit written.

    Parameters
    ----------
    prepared, package
        From `ready` and `assert_package`.
    rule
        Name of the limit.
    margin
        What is left, with its unit: ``"0.25"``, ``"12.5 mm"``; below zero where it is broken.

    Raises
    ------
    AssertionError
        If the limit does not apply, or the margin is another.
    """
    for item in margins_of(prepared.evaluation, package.choice):
        if item.rule.name == rule:
            left = item.has - item.needs if item.at_least else item.needs - item.has
            _compare(rule, left, margin, item.rule.unit)
            return
    raise _failed(what=f"no limit {rule!r} applies to this package")


def _compare(rule: str, left: float, margin: str, unit: str) -> None:
    number, _, written = margin.strip().partition(" ")
    decimals = len(number.partition(".")[2])
    # A difference: of two temperatures it has no offset.
    shown = units.from_si(left, written or unit) - units.from_si(0.0, written or unit)
    if abs(shown - float(number)) > 0.5 * 10.0**-decimals + 1e-9:
        raise _failed(
            what=f"{rule}: the margin is {shown:.6g} {written or unit}".rstrip() + f", not {margin}"
        )


def assert_sound(trade: Trade, cases: Iterable[Case], plugin: str | None = None) -> None:
    """Say that a plugin keeps what every plugin promises; see `check_plugin`.

    Raises
    ------
    AssertionError
        With every fault.
    """
    faults = check_plugin(trade, cases, plugin)
    if faults:
        raise _failed("\n".join(str(fault) for fault in faults))


def _failed(what: str) -> AssertionError:
    return AssertionError(what)


def _reason(reason: Any) -> str:
    if reason.rule is not None:
        return str(reason.rule.name)
    return f"{reason.wish.kind} {reason.wish.subject}".strip()
