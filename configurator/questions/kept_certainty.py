"""What certainty costs, kept on disk: the same case is not worked out twice.

It takes as long as the answer itself. What is kept is named by a hash of all that it hangs on: the
case, what the plugins declare, the limits of the search, and the code of all that takes part. Only
what is proven is kept, and only where all rules come with Fitwright: what the code of others calls
cannot be known. What is read is held against the case once more before it is believed.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator import __version__
from configurator.core import paths, sealed_arrays
from configurator.core.code_digest import code_digest
from configurator.evaluation.how_sure import is_sure
from configurator.evaluation.packages import make_package
from configurator.loading.plugin_files import BUNDLED_MODULES
from configurator.model.jobs import Goal
from configurator.model.taken_with import unguarded
from configurator.questions.certainty_price import CertaintyPrice, price_of_certainty
from configurator.questions.goal_certainty import GoalCertainty, goal_certainties
from configurator.search.optimum.option_prices import CheapestPackage

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.search.optimum.preparing import Prepared

    Certainty = tuple[CertaintyPrice, list[GoalCertainty]]

# What an outcome may hang on: packages of Fitwright, beside the bundled plugins.
_CALLED = ("core", "formulas", "model", "loading", "evaluation", "search", "questions")


def certainty_in_full(prepared: Prepared) -> Certainty:
    """Give what certainty costs as a whole, and for each goal that is met as calculated."""
    known = look_up(prepared)
    if known is not None:
        return known
    price = price_of_certainty(prepared)
    choice = price.in_grade(prepared.evaluation.case.job.sure).choice
    goals = [] if choice is None else goal_certainties(prepared, choice)
    keep(prepared, price, goals)
    return price, goals


def look_up(prepared: Prepared) -> Certainty | None:
    """Give what certainty costs as it was worked out before; None if it was not, or may not be."""
    name = name_of(prepared) if prepared.keep else None
    arrays = None if name is None else sealed_arrays.read(name)
    if arrays is None:
        return None
    try:
        return _read(prepared.evaluation, json.loads(arrays["outcome"].tobytes()))
    except (ValueError, KeyError, TypeError, AttributeError):
        return None  # under a digest that holds: what was written is not what is read


def keep(prepared: Prepared, price: CertaintyPrice, goals: Sequence[GoalCertainty]) -> None:
    """Keep what certainty costs, where all of it is proven and there is a package that is sure."""
    known = price.calculated.choice is not None and price.sure.choice is not None
    proven = price.calculated.proven and price.sure.proven and all(g.proven for g in goals)
    name = name_of(prepared) if known and proven and prepared.keep else None
    if name is None:
        return
    outcome = {
        "calculated": _package(price.calculated),
        "sure": _package(price.sure),
        "goals": [
            [
                [item.goal.figure, item.goal.at_least, item.goal.at_most, item.goal.written_in],
                [item.price, item.promised, item.promised_for],
            ]
            for item in goals
        ],
    }
    written = json.dumps(outcome).encode()
    sealed_arrays.write(name, {"outcome": np.frombuffer(written, np.uint8)})


def name_of(prepared: Prepared) -> str | None:
    """Name the outcome of a case; None if what it hangs on cannot be told."""
    evaluation = prepared.evaluation
    case, trade = evaluation.case, evaluation.trade
    code = code_digest([paths.plugins(), *(paths.package() / name for name in _CALLED)])
    rules: list[Any] = []
    for declared in (trade.figures, trade.totals, trade.limits, trade.fits, trade.operations):
        rules += declared.values()
    if not code or not all(_bundled(rule) for rule in rules):
        return None
    # Neither the title nor the money there is has a say in it.
    job = replace(case.job, title="", budget=None, customer=None, discount=0.0)
    asked = (replace(case, job=job, warnings=()), [rule.name for rule in rules])
    rest = (trade.families, trade.measures, trade.conditions, trade.practices)
    digest = hashlib.sha256(repr((__version__, code, prepared.limits)).encode())
    for text in (*_written(asked), *_written(rest)):
        if " at 0x" in text:  # a function, told by where it lies this time
            return None
        digest.update(text.encode())
        digest.update(b"\0")
    return f"{digest.hexdigest()}-certainty"


def _bundled(rule: Any) -> bool:
    module = getattr(unguarded(rule.function), "__module__", None) or ""
    return module.startswith((f"{BUNDLED_MODULES}.", "configurator."))


def _written(value: object) -> Iterable[str]:
    """Write a value so that no other is written alike, and the same one alike on every run."""
    if isinstance(value, frozenset):
        yield f"set {sorted(map(repr, value))!r}"
    elif is_dataclass(value) and not isinstance(value, type):
        text = repr(value)
        if "frozenset(" not in text:  # the order of a set differs from run to run
            yield text
            return
        yield type(value).__name__
        for item in fields(value):
            yield item.name
            yield from _written(getattr(value, item.name))
    elif isinstance(value, Mapping):
        yield f"{len(value)} entries"
        for key, entry in value.items():
            yield repr(key)
            yield from _written(entry)
    elif isinstance(value, tuple | list):
        yield f"{len(value)} items"
        for entry in value:
            yield from _written(entry)
    else:
        yield repr(value)


def _package(package: CheapestPackage) -> list[Any]:
    chosen = {position: option.key for position, option in (package.choice or {}).items()}
    return [package.price, chosen]


def _read(evaluation: Evaluation, outcome: Any) -> Certainty | None:
    """Put an outcome together and hold it against the case; None if it does not hold."""
    calculated = _restored(evaluation, *outcome["calculated"])
    sure = _restored(evaluation, *outcome["sure"])
    if calculated is None or sure is None or not is_sure(evaluation, sure[1]):
        return None
    differing = tuple(p for p, option in calculated[1].items() if option.key != sure[1][p].key)
    packages = [
        CheapestPackage(price, choice, proven=True, least=price)
        for price, choice in (calculated, sure if differing else calculated)
    ]
    goals = []
    for (figure, at_least, at_most, written_in), (price, *promised) in outcome["goals"]:
        goal = Goal(figure, at_least, at_most, written_in=written_in, sure=True)
        goals.append(GoalCertainty(goal, price, True, *promised))
    return CertaintyPrice(packages[0], packages[1], differing), goals


def _restored(
    evaluation: Evaluation, price: int, keys: Mapping[str, str]
) -> tuple[int, dict[str, Option]] | None:
    choice: dict[str, Option] = {}
    for position in evaluation.families:
        named = {option.key: option for option in evaluation.options(position)}
        if keys.get(position) not in named:
            return None
        choice[position] = named[keys[position]]
    return (price, choice) if make_package(evaluation, choice).price == price else None
