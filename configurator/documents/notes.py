"""What goes with every document: promise, cautions, what was assumed, not checked, not priced."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.evaluation.assumed import assumed_of
from configurator.evaluation.packages import cautions_of, not_checked
from configurator.wording.assumed_words import assumed_words
from configurator.wording.plain_data import not_priced
from configurator.wording.sentences import NOTICE, catalog_words, caution_words
from configurator.wording.unchecked import unchecked_headline, unchecked_words

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package

PROMISE = (
    "Promised are the parts and the work listed, at these prices, and the values under 'What was "
    "asked for' within what measuring on a level floor can tell. Not promised are approval by any "
    "authority, and figures that hang on what could not be checked."
)


def notes_of(evaluation: Evaluation, package: Package) -> list[tuple[str, list[str]]]:
    """Return the headings and items that go with every sheet of a package."""
    choice = package.choice
    return [
        ("What is promised and what is not", [PROMISE]),
        ("Cautions", [*caution_words(cautions_of(evaluation, choice)), NOTICE]),
        ("Assumed", _assumed(evaluation, package)),
        ("Not checked", _unchecked(evaluation, package)),
        ("Not priced", not_priced(evaluation, choice)),
        ("Where prices are from", [catalog_words(c) for c in evaluation.case.catalogs]),
    ]


def _assumed(evaluation: Evaluation, package: Package) -> list[str]:
    """Say what was assumed of the vehicle, without what only a new search could tell."""
    job = evaluation.case.job
    assumed = assumed_of(evaluation, job, package.choice)
    return assumed_words(assumed, job.currency, prices={})


def _unchecked(evaluation: Evaluation, package: Package) -> list[str]:
    unchecked = not_checked(evaluation, package.choice)
    headline = unchecked_headline(unchecked)
    lines = unchecked_words(unchecked, evaluation.trade)
    return [headline, *lines] if headline else lines
