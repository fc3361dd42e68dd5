"""Answers as plain data: dicts, lists, text and numbers that turn into JSON as they are."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.evaluation.assumed import assumed_of
from configurator.evaluation.contradictions import contradictions_of
from configurator.evaluation.lead_times import too_late, wait_of
from configurator.evaluation.operations import operations_of, work_cost
from configurator.evaluation.packages import cautions_of, figures_of, margins_of, not_checked
from configurator.evaluation.worst_state import decisive_figure
from configurator.model.parts import NOTHING
from configurator.search.optimum.verification import meets
from configurator.wording import note_templates as say
from configurator.wording.assumed_words import assumed_record
from configurator.wording.certainty import how_sure_record
from configurator.wording.local_rule_words import local_rule_words
from configurator.wording.quantities import money_record, plain, unit_in
from configurator.wording.sentences import (
    NOTICE,
    because_of,
    caution_words,
    falls_short,
    goal_words,
    input_words,
    inputs_of_reason,
    reason_words,
    repair_words,
    wish_words,
)
from configurator.wording.style import ENGLISH

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.core.errors import Problem
    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.packages import NotChecked, Package
    from configurator.model.jobs import Job
    from configurator.model.parts import Value
    from configurator.model.requirements import Wish
    from configurator.questions.answers import Answer, Explanation, OptionState
    from configurator.search.explanation.conflicts import Reason, Repair
    from configurator.wording.quantities import System
    from configurator.wording.style import Style

Record = dict[str, Any]


def answer_record(
    evaluation: Evaluation,
    answer: Answer,
    system: System | None = None,
    prices: Mapping[tuple[str, Value], int | None] | None = None,
) -> Record:
    """Return what came of a job.

    ``prices`` are those of the cheapest packages at the usual bounds of what was assumed.
    """
    choices = [package.choice for package in answer.packages] or [evaluation.fitted]
    currency = evaluation.case.job.currency
    return {
        "outcome": answer.outcome,
        **job_record(evaluation, system),
        "packages": [
            package_record(evaluation, answer.job, package, system) for package in answer.packages
        ],
        "conflict": [reason_record(evaluation, reason, system) for reason in answer.conflict],
        "repair": [repair_record(evaluation, repair, system) for repair in answer.repairs],
        "only_money": money_record(answer.only_money, currency),
        "no_package_below": money_record(answer.least, currency),
        "contradictions": [problem_record(item) for item in contradictions_of(evaluation)],
        "assumed": assumed_record(
            assumed_of(evaluation, answer.job, choices[0]), currency, system, prices
        ),
        "not_checked": [not_checked_record(unchecked) for unchecked in answer.not_checked],
        "notice": NOTICE,
    }


def job_record(evaluation: Evaluation, system: System | None = None) -> Record:
    """Return which job on which vehicle was asked about, and where the prices are from."""
    case = evaluation.case
    return {
        "job": case.job.title,
        "vehicle": {"key": case.vehicle.key, "title": case.vehicle.title},
        "vehicles": case.job.vehicles,
        "budget": money_record(case.job.budget, case.job.currency),
        "parts_within_days": case.job.parts_within,
        "asked": [goal_words(evaluation, goal, system) for goal in case.job.goals],
        "catalogs": [
            {
                "catalog": catalog.key,
                "title": catalog.title,
                "price_date": catalog.price_date,
                "source": catalog.source,
                "licence": catalog.licence,
                "remarks": list(catalog.remarks),
            }
            for catalog in case.catalogs
        ],
    }


def part_key(option: Option) -> str | None:
    """Return the key of an option's part; None for an empty position."""
    return None if option.key == NOTHING else option.key


def package_record(
    evaluation: Evaluation, job: Job, package: Package, system: System | None = None
) -> Record:
    """Return a package: parts, price, figures, goals with their values, cautions, work, margins."""
    currency = evaluation.case.job.currency
    choice = package.choice
    figures = {}
    for name, value in figures_of(evaluation, choice).items():
        unit = evaluation.definition(name).unit
        figures[name] = {"value": plain(value, unit, system), "unit": unit_in(unit, system)}
    return {
        "price": money_record(package.price, currency),
        "parts": {position: part_key(option) for position, option in choice.items()},
        "details": {position: _detail(option, currency) for position, option in choice.items()},
        "figures": figures,
        "goals": goal_records(evaluation, job, choice, system),
        "margins": [
            {
                "rule": margin.rule.name,
                "has": plain(margin.has, margin.rule.unit, system),
                "needs": plain(margin.needs, margin.rule.unit, system),
                "bound": "at least" if margin.at_least else "at most",
                "unit": unit_in(margin.rule.unit, system),
                "share": round(margin.share, 6),
                "when": margin.when,
            }
            for margin in margins_of(evaluation, choice)
        ],
        "how_sure": how_sure_record(evaluation, job, choice, system),
        "work": work_record(evaluation, package),
        "cautions": caution_words(cautions_of(evaluation, choice)),
        "assumed": assumed_record(assumed_of(evaluation, job, choice), currency, system),
        "not_checked": [
            not_checked_record(unchecked) for unchecked in not_checked(evaluation, choice)
        ],
        "local_rules": (
            local_rule_words(evaluation, choice) if evaluation.case.local_rules else []
        ),
        "not_priced": not_priced(evaluation, choice),
    }


def _detail(option: Option, currency: str) -> Record:
    return {
        "title": option.part.title,
        "pieces": option.pieces,
        "price": money_record(option.price, currency),
        "maker": option.part.maker,
        "lead_time_days": option.part.lead_time,
        "stock": option.part.stock,
        "note": option.part.note,
        "origins": dict(option.part.origins),
        "changed": option.changed,
    }


def goal_records(
    evaluation: Evaluation, job: Job, choice: Mapping[str, Option], system: System | None = None
) -> list[Record]:
    """Return the goals of a job, each with the value that a package has."""
    records = []
    for goal in job.goals:
        unit = evaluation.definition(goal.figure).unit
        value = evaluation.figure(goal.figure, choice)
        records.append(
            {
                "figure": goal.figure,
                "at_least": plain(goal.at_least, unit, system),
                "at_most": plain(goal.at_most, unit, system),
                "value": plain(value, unit, system),
                "unit": unit_in(unit, system),
                "met": meets(goal, value),
                "decided_by": decisive_figure(evaluation, goal.figure, choice),
            }
        )
    return records


def work_record(evaluation: Evaluation, package: Package) -> Record:
    """Return the work of a package: hours and price, and each operation."""
    currency = evaluation.case.job.currency
    operations = operations_of(evaluation, package.choice)
    return {
        "price": money_record(package.work, currency),
        "hours": round(sum(operation.hours for operation in operations), 6),
        "operations": [
            {
                "name": operation.name,
                "hours": operation.hours,
                "station": operation.station,
                "price": money_record(work_cost(evaluation, operation, package.choice), currency),
            }
            for operation in operations
        ],
    }


def not_priced(
    evaluation: Evaluation, choice: Mapping[str, Option], style: Style = ENGLISH
) -> list[str]:
    """Name what a package uses but nobody gave a price for, so that the total leaves it out."""
    operations = operations_of(evaluation, choice)
    workshop = evaluation.case.workshop
    missing = []
    if not workshop.rate and any(operation.hours for operation in operations):
        missing.append(style.text(say.NO_HOURLY_RATE))
    used = {name for operation in operations for name in operation.uses}
    missing.extend(
        style.say(say.NO_CONSUMABLE_PRICE, name=style.text(name))
        for name in sorted(used - set(workshop.consumables))
    )
    return missing


def not_checked_record(unchecked: NotChecked) -> Record:
    """Return a rule that could not be checked, why, and the measures that it waits for."""
    return {
        "rule": unchecked.rule,
        "why": unchecked.why,
        "kind": unchecked.kind,
        "measure": [gap.name for gap in unchecked.gaps if gap.kind in ("measure", "taken with")],
    }


# -- why nothing fits ---------------------------------------------------------------------------


def reason_record(evaluation: Evaluation, reason: Reason, system: System | None = None) -> Record:
    """Return a member of a conflict: a rule or a wish, with its numbers."""
    currency = evaluation.case.job.currency
    wish, rule = reason.wish, reason.rule
    if wish is not None and wish.kind == "budget":
        has, needs, unit = _major(reason.has, currency), _major(reason.needs, currency), currency
    else:
        has = plain(reason.has, reason.unit, system) if falls_short(reason) else None
        needs = plain(reason.needs, reason.unit, system)
        unit = unit_in(reason.unit, system)
    if wish is not None and wish.kind == "parts within":
        unit = "day"
    bounded = reason.needs is not None
    return {
        "kind": "rule" if wish is None else "wish",
        "name": wish_words(evaluation, wish, system) if wish is not None else _name(rule),
        "has": has,
        "needs": needs,
        "bound": ("at least" if reason.at_least else "at most") if bounded else None,
        "unit": unit,
        "because": "" if rule is None else because_of(rule),
        "source": getattr(rule, "source", ""),
        "proven_needed": reason.needed,
        "within_tolerances": reason.within,
        "inputs": [
            {
                "name": name,
                "values": [plain(value, unit_, system) for value in values],
                "more": more,
                "unit": unit_in(unit_, system),
                "says": input_words(name, unit_, values, more, system),
            }
            for name, unit_, values, more in inputs_of_reason(reason, evaluation.trade)
        ],
        "says": reason_words(evaluation, reason, system),
    }


def _name(rule: Any) -> str:
    return "" if rule is None else str(rule.name)


def _major(minor: float | None, currency: str) -> float | None:
    record = money_record(None if minor is None else round(minor), currency)
    return None if record is None else float(record["amount"])


def repair_record(evaluation: Evaluation, repair: Repair, system: System | None = None) -> Record:
    """Return what could be given up, how near to it one could stay, what the rest then costs."""
    return {
        "give_up": [_given_up(evaluation, wish, near, system) for wish, near in repair.given_up],
        "price": money_record(repair.price, evaluation.case.job.currency),
        "says": repair_words(evaluation, repair, system),
    }


def _given_up(
    evaluation: Evaluation, wish: Wish, nearest: float | None, system: System | None
) -> Record:
    currency = evaluation.case.job.currency
    record: Record = {
        "wish": wish_words(evaluation, wish, system),
        "kind": wish.kind,
        "subject": wish.subject,
        "nearest": None,
        "unit": "",
    }
    if wish.kind == "budget":
        record.update(asked=_major(wish.bound, currency), nearest=_major(nearest, currency))
        record["unit"] = currency
    elif wish.kind == "parts within":
        record.update(asked=wish.bound, nearest=nearest, unit="day")
    elif wish.kind in {"at least", "at most"}:
        unit = evaluation.definition(wish.subject).unit
        record.update(asked=plain(wish.bound, unit, system), nearest=plain(nearest, unit, system))
        record["unit"] = unit_in(unit, system)
    return record


def explanation_record(
    evaluation: Evaluation, explanation: Explanation, system: System | None = None
) -> Record:
    """Return why something is not possible, and what would have to give."""
    return {
        "possible": explanation.possible,
        "conflict": [reason_record(evaluation, reason, system) for reason in explanation.conflict],
        "repair": [repair_record(evaluation, repair, system) for repair in explanation.repairs],
    }


# -- options and catalogs -----------------------------------------------------------------------


def options_record(evaluation: Evaluation, states: Mapping[str, Sequence[OptionState]]) -> Record:
    """Return what can be said of every option of every position."""
    job = evaluation.case.job
    currency = job.currency
    return {
        **job_record(evaluation),
        "positions": {
            position: [
                {
                    "part": part_key(state.option),
                    "title": state.option.part.title,
                    "state": state.state,
                    "cheapest_package": money_record(state.price, currency),
                    "exact": state.exact,
                    "if_freed": money_record(state.if_freed, currency),
                    "wait_days": wait_of(state.option, job.vehicles),
                    "too_late": too_late(job, state.option),
                }
                for state in result
            ]
            for position, result in states.items()
        },
        "not_checked": [
            not_checked_record(unchecked)
            for unchecked in not_checked(evaluation, evaluation.fitted)
        ],
        "notice": NOTICE,
    }


def problem_record(problem: Problem) -> dict[str, str]:
    """Return something that is wrong with a file: where, what, what to do."""
    return {"where": problem.where, "what": problem.what, "do": problem.do}
