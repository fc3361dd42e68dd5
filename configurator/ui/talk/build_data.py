"""What is built: the vehicle before and after, what it costs line by line, what to mind."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator import drawings
from configurator.core.errors import FitwrightError
from configurator.drawings import (
    BESIDE,
    LIGHT,
    NARROW,
    OF_PAGE,
    PICTURES,
    VIEWS,
    WIDE,
    draw_picture,
)
from configurator.evaluation.assumed import assumed_of
from configurator.evaluation.lead_times import longest_wait
from configurator.evaluation.operations import operations_of, work_cost
from configurator.evaluation.packages import (
    cautions_of,
    make_package,
    not_checked,
    tightest_margins,
)
from configurator.evaluation.work_plan import work_plan
from configurator.model.parts import NOTHING
from configurator.ui.talk import talk_words as say
from configurator.ui.talk.asked_often import BUILD_FIGURES
from configurator.ui.talk.certainty_data import certainty
from configurator.ui.talk.part_data import ordered
from configurator.wording.assumed_words import assumed_headline, assumed_words
from configurator.wording.certainty import how_sure_lines, rule_grades, with_grade
from configurator.wording.margin_words import margin_words
from configurator.wording.plain_data import not_priced
from configurator.wording.quantities import counted, grouped
from configurator.wording.sentences import NOTICE, begun, catalog_words
from configurator.wording.style import English
from configurator.wording.unchecked import unchecked_headline, unchecked_words

if TYPE_CHECKING:
    from configurator.drawings import CustomerPicture
    from configurator.drawings.picture import PictureName
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.model.jobs import Job
    from configurator.model.rules import Caution
    from configurator.questions.session import Session
    from configurator.ui.visit import Visit
    from configurator.wording.quantities import System

TIGHTEST = 8
# Under which of its drawings the page opens; the others are made when somebody asks.
DRAWINGS = {name: begun(title) for name, title in VIEWS.items()}


def build(visit: Visit, evaluation: Evaluation, package: Package | None) -> dict[str, Any] | None:
    """Return what the build shows; None where there is no package.

    Where another part of the talk is open, what it showed last stays until the next is made behind
    the answer, ``stale`` as it is of another package; ``coming`` alone where there is nothing to
    show yet.
    """
    if package is None:
        return None
    name, vehicle = _named(visit.job, visit.system), visit.job.vehicle
    known: dict[str, Any] | None = visit.talk.known(name)
    if known is None and visit.view == "build":
        known = make_build(visit.talk, visit.system)
    if known is not None:
        visit.built = (vehicle, known)
    of, last = visit.built
    if of != vehicle or not last:
        return {"coming": True}
    return {**last, "stale": known is None, "certainty": certainty(visit, evaluation)}


def build_is_made(visit: Visit, talk: Session) -> bool:
    """Whether what the build shows of a job is known."""
    return talk.known(_named(talk.job, visit.system)) is not None


def make_build(talk: Session, system: System | None) -> dict[str, Any]:
    """Return all that the build shows of a job that can be made ahead; empty without a package."""
    return talk.asked(
        _named(talk.job, system),
        lambda ready, job: _made(talk, ready.evaluation, job, system),
        narrowed=True,
    )


def _named(job: Job, system: System | None) -> str:
    # What other answers do not hang on.
    return f"build {system} {job.vehicles} {job.discount} {job.title}"


def _made(talk: Session, evaluation: Evaluation, job: Job, system: System | None) -> dict[str, Any]:
    choice = talk.cheapest().choice
    if choice is None:
        return {}
    package = make_package(evaluation, choice)
    operations = operations_of(evaluation, package.choice)
    hours = sum(operation.hours for operation in operations)
    days, unknown = longest_wait(package.choice, job.vehicles)
    tax = evaluation.case.workshop.tax
    return {
        "pictures": _pictures(evaluation, package, system),
        "figures": figure_lines(evaluation, package, system),
        "lines": _lines(evaluation, package, job.currency),
        "parts": say.exact_money(package.price - package.work, job.currency),
        "work": {
            "words": f"Work: {counted(len(operations), 'operation')}, {hours:.3g} h, "
            "with materials",
            "price": say.exact_money(package.work, job.currency),
            "operations": [
                [
                    begun(operation.name),
                    f"{operation.hours:.3g} h",
                    say.exact_money(
                        work_cost(evaluation, operation, package.choice), job.currency
                    ),
                ]
                for operation in operations
            ],
        },
        "total": say.exact_money(package.price, job.currency),
        "tax": "" if not tax else "of which tax "
        + say.exact_money(round(package.price * tax / (1 + tax)), job.currency),
        "each": f"for each of {job.vehicles} vehicles" if job.vehicles > 1 else "",
        "time": _time(evaluation, package, days, unknown),
        "cautions": _cautions(evaluation, package),
        "unchanged": _unchanged(package),
        "tightest": _tightest(evaluation, package, system),
        **_open_questions(evaluation, package, system),
        "unpriced": list(not_priced(evaluation, package.choice)),
        "drawings": list(DRAWINGS.items()),
        "sources": [f"{catalog_words(source).rstrip('.')}." for source in evaluation.case.catalogs],
        "notice": NOTICE,
    }  # fmt: skip


def _tightest(evaluation: Evaluation, package: Package, system: System | None) -> list[str]:
    """Return the tightest margins, with how sure each is where that is said of it."""
    grades = rule_grades(evaluation, package.choice)
    return [
        with_grade(begun(margin_words(margin, system)), grades.get(margin.rule.name))
        for margin in tightest_margins(evaluation, package.choice)[:TIGHTEST]
    ]


def _open_questions(
    evaluation: Evaluation, package: Package, system: System | None
) -> dict[str, Any]:
    """Return what was assumed and what could not be checked: a heading, and a line each."""
    job = evaluation.case.job
    unchecked = not_checked(evaluation, package.choice)
    assumed = assumed_of(evaluation, job, package.choice)
    style = English(job.currency, system)
    return {
        "unchecked": unchecked_words(unchecked, evaluation.trade),
        "uncheckedHead": unchecked_headline(unchecked) or str(len(unchecked)),
        "assumed": assumed_words(assumed, style, prices={}) if assumed else [],
        "sure": [begun(line) for line in how_sure_lines(evaluation, job, package.choice, style)],
        "assumedHead": assumed_headline(assumed).rstrip(".") if assumed else "",
    }


def _pictures(evaluation: Evaluation, package: Package, system: System | None) -> dict[str, Any]:
    def draw(name: PictureName, width: float, *, taken: bool = False) -> CustomerPicture:
        return draw_picture(
            evaluation, package.choice, name, width=width, ink=LIGHT if taken else OF_PAGE,
            system=system, number_as=grouped, titled=taken,
        )  # fmt: skip

    drawn: dict[str, Any] = {}
    for name in PICTURES:
        wide = draw(name, WIDE if name == "side" else BESIDE)
        schematic = [remark for remark in wide.remarks if "schematic" in remark]
        drawn[name] = {
            "wide": wide.svg,
            "narrow": draw(name, NARROW).svg,
            "take": draw(name, WIDE, taken=True).svg,
            "remarks": [begun(remark) + "." for remark in schematic],
        }
    return drawn


def drawing(visit: Visit, evaluation: Evaluation, package: Package, name: str) -> dict[str, str]:
    """Return a drawing to scale, or why there is none."""
    try:
        drawn = drawings.draw(
            evaluation, package.choice, name,  # type: ignore[arg-type]
            ink=drawings.OF_PAGE, system=visit.system, number=grouped,
        )  # fmt: skip
    except FitwrightError as problem:
        return {"name": name, "svg": "", "words": str(problem)}
    missing = f"Not drawn: {'; '.join(drawn.not_drawn)}." if drawn.not_drawn else ""
    return {"name": name, "svg": drawn.svg, "words": missing, "width": str(drawn.width)}


def figure_lines(
    evaluation: Evaluation, package: Package | None, system: System | None
) -> list[dict[str, str]]:
    """Return the five figures of a vehicle as it stands, or with a package."""
    lines = []
    for name, label, _ in BUILD_FIGURES:
        if name not in evaluation.trade.figures and name not in evaluation.trade.totals:
            continue
        unit = evaluation.definition(name).unit
        before = evaluation.figure(name, evaluation.fitted)
        after = before if package is None else evaluation.figure(name, package.choice)
        change = ""
        if (
            isinstance(before, int | float)
            and isinstance(after, int | float)
            and not isinstance(before, bool)
        ):
            change = say.moved(float(before), float(after), unit, system)
        lines.append(
            {
                "label": label,
                "figure": name,
                "value": say.weighed(after, unit, system),
                "moved": change or ("unchanged" if package is not None else ""),
            }
        )
    return lines


def _lines(evaluation: Evaluation, package: Package, currency: str) -> list[list[str]]:
    lines = []
    for position, _ in ordered(evaluation):
        option = package.choice[position]
        if not option.changed:
            continue
        if option.key == NOTHING:
            lines.append([begun(position), "removed", "", "", say.exact_money(0, currency)])
        else:
            pieces = str(option.pieces) if option.pieces > 1 else ""
            price = say.exact_money(option.price, currency)
            lines.append(
                [begun(position), option.part.title, option.key.partition("/")[2], pieces, price]
            )
    return lines


def _time(
    evaluation: Evaluation, package: Package, days: int | None, unknown: list[str]
) -> list[str]:
    sentences = [begun(say.days_words(days, len(unknown))) + "."]
    if unknown:
        sentences.append(
            f"No list gives a delivery time for {say.enumerated(unknown)}: ask the maker."
        )
    try:
        plan = work_plan(evaluation, package)
    except FitwrightError as problem:
        return [*sentences, str(problem)]
    sentences.append(
        f"{plan.hours:.3g} hours of work; with enough hands, done {plan.finish:.1f} days after "
        "the order at the earliest."
    )
    return sentences


def _cautions(evaluation: Evaluation, package: Package) -> list[dict[str, Any]]:
    """Return cautions, those that the package brings first."""
    standing = {caution.name for caution in cautions_of(evaluation, evaluation.fitted)}
    every = sorted(
        cautions_of(evaluation, package.choice), key=lambda caution: caution.name in standing
    )
    return [_caution(caution, new=caution.name not in standing) for caution in every]


def _caution(caution: Caution, *, new: bool) -> dict[str, Any]:
    more = []
    if caution.inspect:
        more.append(f"Inspect: {caution.inspect}")
    if caution.approve:
        more.append(f"Needs approval by {caution.approve}.")
    return {"name": begun(caution.name), "says": caution.says, "more": more, "new": new}


def _unchanged(package: Package) -> dict[str, list[str]]:
    stays = [p for p, o in package.choice.items() if not o.changed and o.key != NOTHING]
    empty = [p for p, o in package.choice.items() if not o.changed and o.key == NOTHING]
    return {"unchanged": say.pairs(stays), "not fitted": say.pairs(empty)}
