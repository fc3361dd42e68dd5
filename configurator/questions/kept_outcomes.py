"""What came of a job, kept on disk: the same case is not worked out twice.

That is the cheapest package and what certainty costs, which takes as long again. What is kept is
named by a hash of all that it hangs on: the case, what the plugins declare, the limits of the
search, and the code of all that takes part. Only what is proven is kept, and only where all rules
come with Fitwright: what the code of others calls cannot be known. What is read is held against the
case once more before it is believed, by the rules themselves. Reading needs neither tables nor
circuit.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator import __version__
from configurator.core import paths, sealed_arrays
from configurator.core.code_digest import code_digest
from configurator.evaluation.how_sure import is_sure
from configurator.evaluation.packages import make_package, not_checked
from configurator.loading.plugin_files import BUNDLED_MODULES
from configurator.model.jobs import Goal
from configurator.model.taken_with import unguarded
from configurator.questions.certainty_records import CertaintyPrice, GoalCertainty
from configurator.questions.job_answer import Answer
from configurator.search.optimum import verification
from configurator.search.optimum.cheapest_package import CheapestPackage

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.jobs import Job
    from configurator.search.limits import Limits

    Choice = dict[str, Option]

# What an outcome may hang on: packages of Fitwright, beside the bundled plugins.
_CALLED = ("core", "formulas", "model", "loading", "evaluation", "search", "questions")


@dataclass(frozen=True, slots=True)
class KeptOutcome:
    """What came of a job before.

    Parameters
    ----------
    certainty, goals
        What certainty costs as a whole, and for each goal that is met as calculated.
    cheapest
        The package that was the answer, where the job itself was answered: of several that cost the
        same, the same again.
    """

    certainty: CertaintyPrice
    goals: list[GoalCertainty]
    cheapest: Choice | None = None

    def answer(self, evaluation: Evaluation) -> Answer | None:
        """Answer the job; None where that takes a search: where it is not within the budget."""
        job = evaluation.case.job
        if self.cheapest is None or any(goal.as_possible is not None for goal in job.goals):
            return None
        try:
            package = verification.confirm(evaluation, job, self.cheapest)
        except verification.RefereeDisagrees:
            return None
        if job.budget is not None and package.price > job.budget:
            return None
        unknown = tuple(not_checked(evaluation, package.choice))
        return Answer("found", job, (package,), (), (), unknown, least=package.price)


def look_up(evaluation: Evaluation, limits: Limits) -> KeptOutcome | None:
    """Give what came of a job before; None if nothing did, or may not be believed."""
    name = name_of(evaluation, limits)
    arrays = None if name is None else sealed_arrays.read(name)
    if arrays is None:
        return None
    try:
        return _read(evaluation, json.loads(arrays["outcome"].tobytes()))
    except (ValueError, KeyError, TypeError, AttributeError):
        return None  # under a digest that holds: what was written is not what is read


def keep(
    evaluation: Evaluation,
    limits: Limits,
    price: CertaintyPrice,
    goals: Sequence[GoalCertainty],
    answer: Answer | None = None,
) -> None:
    """Keep what certainty costs, where all of it is proven and there is a package that is sure.

    With it the first package of an answer, where that is what the job comes to without its budget:
    what is to be as high as possible may be settled otherwise there.
    """
    known = price.calculated.choice is not None and price.sure.choice is not None
    proven = price.calculated.proven and price.sure.proven and all(g.proven for g in goals)
    name = name_of(evaluation, limits) if known and proven else None
    if name is None:
        return
    cheapest = price.in_grade(evaluation.case.job.sure).price
    first = answer.packages[:1] if answer is not None and answer.outcome == "found" else ()
    package = next((package for package in first if package.price == cheapest), None)
    outcome = {
        "calculated": _package(price.calculated.price, price.calculated.choice),
        "sure": _package(price.sure.price, price.sure.choice),
        "goals": [
            [
                [item.goal.figure, item.goal.at_least, item.goal.at_most, item.goal.written_in],
                [item.price, item.promised, item.promised_for],
            ]
            for item in goals
        ],
        "cheapest": None if package is None else _package(package.price, package.choice),
    }
    written = json.dumps(outcome).encode()
    sealed_arrays.write(name, {"outcome": np.frombuffer(written, np.uint8)})


def name_of(evaluation: Evaluation, limits: Limits) -> str | None:
    """Name the outcome of a case; None if what it hangs on cannot be told."""
    code = code_digest([paths.plugins(), *(paths.package() / name for name in _CALLED)])
    # The money there is has no say in it.
    job = replace(evaluation.case.job, budget=None)
    digest = digest_of(evaluation, job, limits, code)
    return None if digest is None else f"{digest}-outcome"


def digest_of(evaluation: Evaluation, job: Job, limits: Limits, code: str) -> str | None:
    """Hash what answers about a job hang on; None if that cannot be told.

    Parameters
    ----------
    evaluation, limits
        The case, and how much may be tried.
    job
        What is asked; its title, customer and discount have no say in any answer.
    code
        Digest of the code that takes part; empty where there is none.
    """
    case, trade = evaluation.case, evaluation.trade
    rules: list[Any] = []
    for declared in (trade.figures, trade.totals, trade.limits, trade.fits, trade.operations):
        rules += declared.values()
    if not code or not all(_bundled(rule) for rule in rules):
        return None
    job = replace(job, title="", customer=None, discount=0.0)
    asked = (replace(case, job=job, warnings=()), [rule.name for rule in rules])
    rest = (trade.families, trade.measures, trade.conditions, trade.practices)
    digest = hashlib.sha256(repr((__version__, code, limits)).encode())
    for text in (*_written(asked), *_written(rest)):
        if " at 0x" in text:  # a function, told by where it lies this time
            return None
        digest.update(text.encode())
        digest.update(b"\0")
    return digest.hexdigest()


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


def _package(price: int | None, choice: Mapping[str, Option] | None) -> list[Any]:
    chosen = {position: option.key for position, option in (choice or {}).items()}
    return [price, chosen]


def _read(evaluation: Evaluation, outcome: Any) -> KeptOutcome | None:
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
    certainty = CertaintyPrice(packages[0], packages[1], differing)
    cheapest = None
    if outcome["cheapest"] is not None:
        restored = _restored(evaluation, *outcome["cheapest"])
        if restored is None or restored[0] != certainty.in_grade(evaluation.case.job.sure).price:
            return None
        cheapest = restored[1]
    return KeptOutcome(certainty, goals, cheapest)


def _restored(
    evaluation: Evaluation, price: int, keys: Mapping[str, str]
) -> tuple[int, Choice] | None:
    choice: Choice = {}
    for position in evaluation.families:
        named = {option.key: option for option in evaluation.options(position)}
        if keys.get(position) not in named:
            return None
        choice[position] = named[keys[position]]
    return (price, choice) if make_package(evaluation, choice).price == price else None
