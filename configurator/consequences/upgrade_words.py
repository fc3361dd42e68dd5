"""What choices force, said: as plain data, as sentences, as a picture's boxes and lines."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.consequences.upgrade_graph import ASKED, Box, Edge, Picture, sets_of, shortened
from configurator.evaluation.packages import not_checked
from configurator.model.rules import Fit
from configurator.wording import explanation_templates as say
from configurator.wording.plain_data import not_checked_record, part_key, reason_record
from configurator.wording.quantities import apart, counted, money_record, plain, unit_in, words
from configurator.wording.sentences import NOTICE, option_words, part_words, reason_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.consequences.upgrade_records import Arrow, Forced, Kept, Reading, Untouched
    from configurator.evaluation.evaluator import Evaluation
    from configurator.search.explanation.conflicts import Reason
    from configurator.wording.quantities import System

Record = dict[str, Any]


def relative_to(evaluation: Evaluation, reading: Reading) -> str:
    """Say what the answers are relative to."""
    case = evaluation.case
    job = case.job
    catalogs = ", ".join(
        say.CATALOG_DATED.format(catalog=c.title, key=c.key, date=c.price_date)
        for c in case.catalogs
    )
    sentences = [say.RELATIVE_TO.format(catalogs=catalogs) if catalogs else say.NO_CATALOG]
    decided = [
        say.CHOSEN.format(position=position, part=part_words(evaluation, position, key))
        for position, key in sorted(job.fixed.items())
    ]
    decided.extend(say.UNCHANGED.format(position=position) for position in job.keep)
    decided.extend(say.RULED_OUT.format(part=key) for key in job.excluded)
    if decided:
        sentences.append(say.DECIDED.format(choices=", ".join(decided)))
    if reading == "fit":
        sentences.append(say.BY_RULES)
    else:
        sentences.append(say.BY_GOALS)
        if job.parts_within is not None:
            sentences.append(say.WITHIN_DAYS.format(days=counted(job.parts_within, "day")))
    return " ".join(sentences)


def forced_record(
    evaluation: Evaluation,
    forced: Sequence[Forced],
    reading: Reading,
    system: System | None = None,
) -> Record:
    """Return what choices force as data."""
    return {
        "relative_to": relative_to(evaluation, reading),
        "reading": reading,
        "choices": [_choice_record(evaluation, item, system) for item in forced],
        "sets": [list(group) for group in sets_of(forced)],
        "not_checked": [
            not_checked_record(unchecked)
            for unchecked in not_checked(evaluation, evaluation.fitted)
        ],
        "notice": NOTICE,
    }


def _choice_record(evaluation: Evaluation, forced: Forced, system: System | None) -> Record:
    currency = evaluation.case.job.currency
    return {
        "position": forced.option.position,
        "part": part_key(forced.option),
        "title": forced.option.part.title,
        "possible": forced.possible,
        "conflict": [reason_record(evaluation, reason, system) for reason in forced.conflict],
        "forces": [_arrow_record(evaluation, arrow, system) for arrow in forced.arrows],
        "not_forced": [_kept_record(kept, system) for kept in forced.kept],
        "adds": money_record(forced.adds, currency),
        "adds_proven": forced.adds_proven,
        "forced_back_by": list(forced.back),
    }


def _arrow_record(evaluation: Evaluation, arrow: Arrow, system: System | None) -> Record:
    return {
        "position": arrow.position,
        "property": property_words(arrow, system),
        "because": [
            _because_record(evaluation, arrow.position, reason, system) for reason in arrow.because
        ],
        "direct": arrow.direct,
        "through": list(arrow.through),
        "anyway": arrow.anyway,
        "kinds": [
            {
                "attribute": kind.attribute,
                "bound": kind.bound,
                "value": plain(kind.value, kind.unit, system),
                "unit": unit_in(kind.unit, system),
            }
            for kind in arrow.kinds
        ],
        "refuses": list(arrow.refuses),
        "remaining": list(arrow.remain),
    }


def _because_record(
    evaluation: Evaluation, position: str, reason: Reason, system: System | None
) -> Record:
    record = reason_record(evaluation, reason, system)
    record = {"rule": record.pop("name"), **record}
    if isinstance(reason.rule, Fit):
        # A fit has no number; where it holds two single values together, these are shown.
        mine = [i for k, i in enumerate(reason.inputs) if _reads(evaluation, reason, k, position)]
        rest = [i for i in reason.inputs if i not in mine]
        if len(mine) == len(rest) == 1 and all(len(i[1]) == 1 and not i[2] for i in mine + rest):
            given = {i["name"]: i for i in record["inputs"]}
            both = list(given.values())
            at = reason.inputs.index(mine[0])
            record["has"] = both[at]["values"][0]
            record["needs"] = both[1 - at]["values"][0]
            record["unit"] = both[at]["unit"]
    return record


def _reads(evaluation: Evaluation, reason: Reason, number: int, position: str) -> bool:
    rule = reason.rule
    if rule is None or number >= len(rule.inputs):
        return False
    return position in evaluation.reach_of(rule.inputs[number].reference)


def _kept_record(kept: Kept, system: System | None) -> Record:
    return {
        "position": kept.position,
        "proven": kept.proven,
        "rules": [
            {
                "rule": rule.rule.name,
                "before": plain(rule.before, _unit(rule), system),
                "after": plain(rule.after, _unit(rule), system),
                "needs": plain(rule.needs, _unit(rule), system),
                "bound": "at least" if rule.at_least else "at most",
                "unit": unit_in(_unit(rule), system),
                "same": rule.same,
            }
            for rule in kept.rules
        ],
    }


def _unit(untouched: Untouched) -> str:
    return getattr(untouched.rule, "unit", "")


# -- sentences ----------------------------------------------------------------------------------


def property_words(arrow: Arrow, system: System | None = None) -> str:
    """Say which kind of part is needed, as in *studs 8, offset at least 19 mm*."""
    if not arrow.kinds:
        return say.OTHER_PART
    return ", ".join(kind.words(system) for kind in arrow.kinds)


def arrow_words(evaluation: Evaluation, arrow: Arrow, system: System | None = None) -> str:
    """Say an arrow: *wheels: PCD 165.1 mm, because ...*."""
    template = say.NEEDS[arrow.anyway, bool(arrow.through)]
    return template.format(
        position=arrow.position,
        part=property_words(arrow, system),
        through=", ".join(arrow.through),
        reasons="; ".join(reason_words(evaluation, reason, system) for reason in arrow.because),
    )


def untouched_words(untouched: Untouched, system: System | None = None) -> str:
    """Say a rule before and after a choice."""
    unit, rule = _unit(untouched), untouched.rule.name
    if untouched.after is None or untouched.before is None:
        return (say.RULE_AS_BEFORE if untouched.same else say.RULE_KEPT).format(rule=rule)
    before, after = apart(untouched.before, untouched.after, unit, system)
    bound = None if untouched.needs is None else untouched.at_least
    return say.UNTOUCHED[before == after, bound].format(
        rule=rule, before=before, after=after, needs=words(untouched.needs, unit, system)
    )


# -- a picture ----------------------------------------------------------------------------------


def picture_of(
    evaluation: Evaluation,
    forced: Sequence[Forced],
    title: str,
    system: System | None = None,
) -> Picture:
    """Make boxes and lines of what choices force.

    Indirect lines are left out where other lines lead to the same place.
    """
    chosen = {entry.option.position: entry.option for entry in forced}
    needed: dict[str, dict[str, str]] = {}
    lines: dict[tuple[str, str], Edge] = {}
    for item in forced:
        for arrow in item.arrows:
            source = ASKED if arrow.anyway else item.option.position
            at = needed.setdefault(arrow.position, {})
            at.update({kind.attribute: kind.words(system) for kind in arrow.kinds})
            if not at:
                at[""] = property_words(arrow, system)
            text = tuple(reason_words(evaluation, reason, system) for reason in arrow.because)
            key = (source, arrow.position)
            earlier = lines.get(key)
            if earlier is None:
                lines[key] = Edge(*key, text, arrow.direct, arrow.through)
            else:
                lines[key] = Edge(
                    *key,
                    tuple(dict.fromkeys((*earlier.because, *text))),
                    earlier.direct or arrow.direct,
                    tuple(dict.fromkeys((*earlier.through, *arrow.through))),
                )
    names = [p for p in evaluation.families if p in chosen or p in needed]
    boxes = [
        Box(
            name,
            (option_words(chosen[name]),) if name in chosen else tuple(needed[name].values()),
            name in chosen,
        )
        for name in names
    ]
    if any(line.source == ASKED for line in lines.values()):
        boxes.insert(0, Box(ASKED, (), chosen=False))
    return Picture(title, tuple(boxes), tuple(shortened(list(lines.values()))), sets_of(forced))
