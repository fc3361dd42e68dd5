"""What goes with every document: cautions, what was assumed and not checked, what is in English."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.documents import document_templates as say
from configurator.documents.layout import Section
from configurator.evaluation.assumed import assumed_of
from configurator.evaluation.packages import not_checked
from configurator.wording import note_templates as templates
from configurator.wording.assumed_words import assumed_words
from configurator.wording.local_rule_words import local_rule_words
from configurator.wording.sentences import begun
from configurator.wording.unchecked import unchecked_headline, unchecked_words

if TYPE_CHECKING:
    from collections.abc import Iterable

    from configurator.documents.number_style import Writing
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.model.rules import Caution


def cautions_whole(cautions: Iterable[Caution], how: Writing) -> list[str]:
    """Say cautions whole: what has changed, what to inspect, who approves; what is alike once."""
    names: dict[tuple[str, str, str], list[str]] = {}
    for caution in cautions:
        key = (caution.says, caution.inspect, caution.approve)
        names.setdefault(key, []).append(how.text(caution.name))
    lines = []
    for (says, inspect, approve), of in names.items():
        line = how.say("{names}: {says}", names=begun(", ".join(of)), says=how.text(says))
        if inspect:
            line += " " + how.say("Inspect: {inspect}", inspect=how.text(inspect))
        if approve:
            line += " " + how.say("Needs approval by {approve}.", approve=how.text(approve))
        lines.append(line)
    return [*lines, how.text(say.NOTICE)]


def assumed(evaluation: Evaluation, package: Package, how: Writing) -> Section:
    """Say what was assumed of the vehicle, without what only a new search could tell."""
    job = evaluation.case.job
    of_vehicle = assumed_of(evaluation, job, package.choice)
    lines = assumed_words(of_vehicle, how, prices={})
    return Section(how.text(say.ASSUMED), items=tuple(lines))


def local_rules(evaluation: Evaluation, package: Package, how: Writing) -> Section:
    """Say which local rules the package keeps and which approvals it needs, with their dates."""
    lines = local_rule_words(evaluation, package.choice, how)
    return Section(how.text(say.LOCAL_RULES), items=tuple(lines))


def unchecked(evaluation: Evaluation, package: Package, how: Writing) -> Section:
    """Say which rules could not be checked, and why."""
    rules = not_checked(evaluation, package.choice)
    lines = [unchecked_headline(rules, how), *unchecked_words(rules, evaluation.trade, how)]
    lines += [
        how.say(templates.RULE_LIFTED, rule=how.text(rule), who=who)
        for rule, who in evaluation.case.lifted.items()
    ]
    items = tuple(line for line in lines if line)
    return Section(how.text(say.NOT_CHECKED), items=items, key="not checked")


def not_translated(how: Writing) -> Section:
    """Say how much of a document is in English because nobody has translated it."""
    speech = how.speech
    if not speech.spoken or not speech.missing:
        return Section("")
    sentence = how.say(say.NOT_TRANSLATED, missing=len(speech.missing), asked=len(speech.asked))
    return Section("English", sentences=(sentence,))
