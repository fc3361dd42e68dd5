"""How sure goals and margins are, and what certainty would cost, on the papers."""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest

from configurator.core import paths
from configurator.documents import document_templates as say
from configurator.documents.build_sheet import build_sheet
from configurator.documents.cost_of_certainty import CERTAINTY_KEY, certainty_items
from configurator.documents.discounts import discounted, reduced
from configurator.documents.handover_sheet import handover_sheet
from configurator.documents.number_style import Writing, locale_of, money, writing_for
from configurator.documents.quotation import quotation_sheet
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.packages import tightest_margins
from configurator.files import job_files
from configurator.loading import plugin_files
from configurator.model.jobs import Goal
from configurator.questions import answers
from configurator.questions.case_cache import posed
from configurator.questions.certainty_records import CertaintyPrice, GoalCertainty
from configurator.questions.goal_certainty import certainty_in_full
from configurator.search.optimum.cheapest_package import CheapestPackage
from configurator.wording.certainty import MARKS, rule_grades
from configurator.wording.style import listed

DAY = datetime.date(2026, 10, 1)
CLEARANCE = "clearance under rear axle"


@pytest.fixture(scope="module")
def prepared():
    trade = plugin_files.load(installed=False).trade
    job = paths.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml"
    return answers.ready(job_files.read_case(job, trade, ()), trade)


@pytest.fixture(scope="module")
def quoted(prepared):
    # As calculated only, so that there is something to be said.
    job = replace(prepared.evaluation.case.job, sure=False)
    asked = posed(prepared, job)
    return asked.evaluation, answers.find(asked).packages[0]


def section(sheet, heading):
    return next(item for item in sheet.sections if item.heading == heading)


@pytest.mark.parametrize("lay_out", [build_sheet, handover_sheet])
def test_goals_and_margins_say_how_sure_they_are_as_the_quotation_does(quoted, lay_out):
    sheet = lay_out(*quoted, locale=locale_of("en_GB"), day=DAY)
    quotation = quotation_sheet(*quoted, locale=locale_of("en_GB"), day=DAY)
    rows = section(quotation, say.GOALS).table.rows
    assert any(row[-1] for row in rows)
    goals = next(item for item in sheet.sections if item.table and item.table.rows == rows)
    assert goals.heading
    margins = section(sheet, say.MARGINS).table.rows
    evaluation, package = quoted
    grades = rule_grades(evaluation, package.choice)
    calculated = [words for mark, words in grades.values() if mark == MARKS["calculated"]]
    assert calculated
    assert sorted(row[-1] for row in margins if row[-1].startswith(MARKS["calculated"])) == sorted(
        f"{MARKS['calculated']} {words}" for words in calculated
    )
    first = tightest_margins(evaluation, package.choice)[0]
    assert margins[0][-1] == " ".join(grades.get(first.rule.name, ()))
    assert margins[0][2].startswith("at least" if first.at_least else "at most")


def test_states_and_rules_of_margins_are_in_the_readers_language(quoted):
    sheet = build_sheet(*quoted, locale=locale_of("de_DE"), day=DAY)
    names = [row[0] for row in section(sheet, "Engste Reserven").table.rows]
    assert "Die Spurstange knickt nicht, voll beladen" in names


def test_the_quotation_says_what_certainty_would_cost(prepared, quoted):
    evaluation, package = quoted
    price, goals = certainty_in_full(prepared)
    for locale in ("en_GB", "de_DE"):
        how = writing_for(evaluation, locale_of(locale), None)
        sheet = quotation_sheet(
            evaluation, package, locale=locale_of(locale), day=DAY, certainty=(price, goals)
        )
        lines = next(item for item in sheet.sections if item.key == CERTAINTY_KEY).items
        assert len(lines) == 1 + len(goals)
        assert money(how, price.calculated.price).text in lines[0]
        assert money(how, price.sure.price).text in lines[0]
        for line, goal in zip(lines[1:], goals, strict=True):
            assert money(how, goal.price).text in line
            assert money(how, goal.price - price.calculated.price).text in line
            assert line.count({"en_GB": "toleranc", "de_DE": "Toleranz"}[locale]) == 1
    without = quotation_sheet(evaluation, package, locale=locale_of("en_GB"), day=DAY)
    later = next(item for item in without.sections if item.key == CERTAINTY_KEY)
    assert later.sentences == (say.CERTAINTY_LATER,)


@pytest.mark.parametrize("locale", ["en_GB", "de_DE"])
def test_of_a_job_that_asks_for_it_the_quotation_says_what_it_adds(prepared, locale):
    sure = posed(prepared, replace(prepared.evaluation.case.job, sure=True))
    package = answers.find(sure).packages[0]
    price, goals = certainty_in_full(sure)
    how = writing_for(sure.evaluation, locale_of(locale), None)

    def part(certainty):
        sheet = quotation_sheet(
            sure.evaluation, package, locale=locale_of(locale), day=DAY, certainty=certainty
        )
        return next(item for item in sheet.sections if item.key == CERTAINTY_KEY)

    known, later = part((price, goals)), part(None)
    assert known.heading == later.heading == how.text(say.CERTAINTY_ASKED)
    assert later.sentences == (how.text(say.CERTAINTY_ASKED_LATER),)
    assert price.sure.price == package.price > price.calculated.price
    totals = [money(how, p.price).text for p in (price.sure, price.calculated)]
    more = money(how, price.sure.price - price.calculated.price).text
    assert known.items[0] == how.say(
        say.CERTAINTY_IN_PRICE, price=totals[0], calculated=totals[1], more=more,
        parts=listed(how, price.differing),
    )  # fmt: skip
    open_price = replace(price, sure=replace(price.sure, proven=False))
    (line, *_) = certainty_items(sure.evaluation, open_price, goals, how)
    assert {"en_GB": "or less", "de_DE": "oder weniger"}[locale] in line


def test_what_is_taken_off_the_total_is_taken_off_what_certainty_costs(prepared, quoted):
    evaluation, _ = quoted
    price, _ = certainty_in_full(prepared)
    case = replace(evaluation.case, job=replace(evaluation.case.job, discount=0.1))
    cheaper = Evaluation(case, evaluation.trade)
    off = discounted(price.sure.price, 0.1, case.workshop.round_to)
    assert reduced(cheaper, price.sure.price) == price.sure.price - sum(off)
    how = Writing(locale_of("en_GB"), "EUR")
    (line,) = certainty_items(cheaper, price, [], how)
    assert money(how, reduced(cheaper, price.sure.price)).text in line
    assert money(how, price.sure.price).text not in line


def test_where_nothing_is_sure_it_is_said_what_can_be_promised(quoted):
    evaluation, _ = quoted
    how = Writing(locale_of("en_GB"), "EUR")
    some, none, asked = (
        CheapestPackage(100_00, {}, proven=True), CheapestPackage(None, None, proven=True),
        CheapestPackage(None, None, proven=False),
    )  # fmt: skip
    goal = Goal(CLEARANCE, at_least=0.3)
    goals = [
        GoalCertainty(goal, None, proven=True, promised=0.28, promised_for=200_00),
        GoalCertainty(Goal(CLEARANCE, at_most=0.3), None, proven=True, promised=0.32,
                      promised_for=200_00),
        GoalCertainty(goal, None, proven=True),
        GoalCertainty(goal, None, proven=False),
    ]  # fmt: skip
    lines = certainty_items(evaluation, CertaintyPrice(some, none), goals, how)
    assert "none keeps law" in lines[0]
    assert "280 mm is the most that can be promised, for €200.00" in lines[1]
    assert "320 mm is the least that can be promised" in lines[2]
    assert lines[3].endswith("no package is sure of that.")
    assert lines[4].endswith("whether a package is sure of that was not decided.")
    (line,) = certainty_items(evaluation, CertaintyPrice(some, asked), [], how)
    assert "was not decided" in line
    (line,) = certainty_items(evaluation, CertaintyPrice(some, some), [], how)
    assert "too" in line
    assert certainty_items(evaluation, CertaintyPrice(none, none), goals, how) == []
