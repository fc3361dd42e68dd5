"""The tightest margins of a package on paper: has, bound, and how sure that is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.documents import document_templates as say
from configurator.documents.layout import Section, SheetColumn, SheetTable
from configurator.documents.number_style import numbers_of
from configurator.evaluation.packages import tightest_margins
from configurator.wording.certainty import MARKS, rule_grades
from configurator.wording.margin_words import quantity_of
from configurator.wording.quantities import apart
from configurator.wording.sentences import begun
from configurator.wording.translation import SOURCE

if TYPE_CHECKING:
    from configurator.documents.layout import Cell
    from configurator.documents.number_style import Writing
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Margin, Package

# Those that are listed whatever is known of them; what holds as calculated only is listed too.
TIGHTEST = 8


def margin_table(evaluation: Evaluation, package: Package, how: Writing) -> Section:
    """Lay out the tightest margins, and all that hold as calculated only: mark and words beside."""
    grades = rule_grades(evaluation, package.choice, how)
    unsure = {name for name, (mark, _) in grades.items() if mark == MARKS["calculated"]}
    rows: list[tuple[Cell, ...]] = [
        (*_margin(margin, how), " ".join(grades.get(margin.rule.name, ())))
        for place, margin in enumerate(tightest_margins(evaluation, package.choice))
        if place < TIGHTEST or margin.rule.name in unsure
    ]
    columns = (
        SheetColumn(how.text(say.RULE), 2),
        SheetColumn(how.text(say.AFTER), 0, right=True),
        SheetColumn(how.text(say.BOUND), 0, right=True),
        SheetColumn(how.text(say.HOW_SURE), 1.6),
    )
    return Section(how.text(say.MARGINS), table=SheetTable(columns, tuple(rows)))


def _margin(margin: Margin, how: Writing) -> tuple[str, str, str]:
    """Write what is bounded and when, value and bound, with as many digits as tell the two apart.

    Short names of quantities are not translated: other languages have the rule.
    """
    known = how.dates.language == SOURCE
    name = begun(quantity_of(margin.rule) if known else how.text(margin.rule.name))
    if margin.when:
        name = how.say(say.IN_STATE, rule=name, when=how.text(margin.when))
    has, needs = apart(
        margin.has, margin.needs, margin.rule.unit, how.system, numbers_of(how.locale)
    )
    bound = say.BOUND_LEAST if margin.at_least else say.BOUND_MOST
    return name, has, how.say(bound, needs=needs)
