"""What is asked of the search, each as a number of one run, and what was reached."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

FEW, USUAL, MANY = "wide 10 x 1000", "wide 16 x 1000", "wide 16 x 10000"
DEEP = (("deep 700", 1 / 150), ("deep 2000", 1 / 40), ("deep 6000", 1 / 20), ("deep 20000", 1.0))
# Seconds granted for plan and tables beside what reading plainly takes, and how often that may be.
PLAN = 1.0
PLAINLY = 4.0

# Measurements of a case by its name; a case that was not run, or failed, is not in it.
Cases = dict[str, dict[str, Any]]


@dataclass(frozen=True, slots=True)
class Target:
    """Something asked.

    Parameters
    ----------
    what
        In words.
    at_most
        The number asked.
    reached
        Takes the cases and gives the number reached; a KeyError says that it was not measured.
    unit
        Behind the number.
    """

    what: str
    at_most: float
    reached: Callable[[Cases], float]
    unit: str = ""


def _seconds(cases: Cases, case: str, stage: str) -> float:
    return float(cases[case]["ours"]["seconds"][stage])


def _of_cp_sat(case: str) -> Callable[[Cases], float]:
    """All prices of ours beside one optimum of theirs; one not proven in time took longer still."""

    def reached(cases: Cases) -> float:
        other = cases[case]["cp_sat"]
        return _seconds(cases, case, "first answer") / float(other["seconds"])

    return reached


def _click(case: str) -> Callable[[Cases], float]:
    """A click answers for the position that is looked at; the first answer, for all."""
    stage = "a click, position in view"
    return lambda cases: _seconds(cases, case, stage) / _seconds(cases, case, "first answer")


def _growth(cases: Cases) -> float:
    less, more = (_seconds(cases, case, "first answer") for case in (USUAL, MANY))
    return math.log10(more / less)


def _families(cases: Cases) -> float:
    return _seconds(cases, USUAL, "first answer") / _seconds(cases, FEW, "first answer")


def _loading(cases: Cases) -> float:
    stages = ("load", "prepare", "first answer")
    took = sum(_seconds(cases, USUAL, stage) for stage in stages)
    return took / (PLAINLY * _seconds(cases, USUAL, "csv and float alone") + PLAN)


def _memory(cases: Cases) -> float:
    return float(cases[MANY]["ours"]["peak memory [MB]"])


TARGETS = (
    Target(f"{USUAL}: every price, of CP-SAT's one proven optimum", 1 / 50, _of_cp_sat(USUAL)),
    Target(f"{MANY}: every price, of CP-SAT's one proven optimum", 1 / 300, _of_cp_sat(MANY)),
    *(
        Target(f"{deep}: every price, of CP-SAT's one proven optimum", most, _of_cp_sat(deep))
        for deep, most in DEEP
    ),
    Target(f"{USUAL}: a click, position in view, of the first answer", 1 / 3, _click(USUAL)),
    Target(f"{MANY}: a click, position in view, of the first answer", 1 / 3, _click(MANY)),
    Target("first answer, from 1,000 to 10,000 parts each: exponent of the number", 0.2, _growth),
    Target("first answer, from ten to sixteen families", 3.0, _families, " times"),
    Target(
        f"{USUAL}: lists to first answer, of {PLAINLY:g} times csv and float alone and {PLAN:g} s",
        1.0,
        _loading,
        " times",
    ),
    Target(f"{MANY}: peak memory", 1000.0, _memory, " MB"),
)


def reached(results: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Hold results against what is asked; ``reached`` is None where it was not measured
    or tables were too wide to be exact."""
    cases = {result["case"]: dict(result) for result in results}
    held = []
    for target in TARGETS:
        try:
            number: float | None = target.reached(cases)
        except KeyError:
            number = None
        held.append(
            {
                "what": target.what,
                "at most": target.at_most,
                "reached": None if number is None else float(f"{number:.3g}"),
                "unit": target.unit,
                "met": None if number is None else number <= target.at_most,
            }
        )
    return held


def shown(target: Mapping[str, Any]) -> str:
    """Put one of them into a line."""
    asked, number, unit = target["at most"], target["reached"], target["unit"]
    if number is None:
        text = "not measured, or bounds only"
        return f"{target['what']}: asked at most {_spelt(asked)}{unit}, {text}"
    text = "reached" if target["met"] else "NOT reached"
    return f"{target['what']}: asked at most {_spelt(asked)}{unit}, {text}: {_spelt(number)}{unit}"


def _spelt(number: float) -> str:
    """Spell small shares as one part in so many."""
    return f"1/{1 / number:,.0f}" if 0 < number < 0.1 else f"{number:.3g}"
