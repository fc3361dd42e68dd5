"""What a workshop measures on a finished vehicle, and what its figures rest on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Measurable:
    """A figure that a workshop can measure on the finished vehicle.

    Parameters
    ----------
    figure
        Its name.
    tolerance
        Within which measured and promised agree, in SI: common practice, no source.
    relative
        Whether the tolerance is a share of the value.
    how
        How it is measured.
    place
        Where: on the level floor, on the road, on the scale.
    """

    figure: str
    tolerance: float
    how: str
    relative: bool = False
    place: Literal["floor", "road", "scale"] = "floor"


_FLOOR = "On a level floor, tyres at the pressure of the job, loaded as weighed; steel rule."
_SCALE = "On the scale, loaded as the vehicle was weighed before."
# Tolerances are common practice, no source: what a careful second reading differs by.
MEASURABLE = (
    Measurable("clearance under front axle", 0.005, _FLOOR),
    Measurable("clearance under rear axle", 0.005, _FLOOR),
    Measurable("clearance under front differential", 0.005, _FLOOR),
    Measurable("clearance under rear differential", 0.005, _FLOOR),
    Measurable("clearance under front hub reduction", 0.005, _FLOOR),
    Measurable("clearance under rear hub reduction", 0.005, _FLOOR),
    Measurable("running clearance", 0.008, _FLOOR),
    Measurable("door sill height", 0.008, _FLOOR),
    Measurable("entry height", 0.008, _FLOOR),
    Measurable("front static radius", 0.004, f"Floor to the wheel centre. {_FLOOR}"),
    Measurable("rear static radius", 0.004, f"Floor to the wheel centre. {_FLOOR}"),
    Measurable("front track", 0.006, "Between the middles of the treads, ahead and behind; mean."),
    Measurable("rear track", 0.006, "Between the middles of the treads, ahead and behind; mean."),
    Measurable("front width over tyres", 0.008, "Between two straight edges upright on the tyres."),
    Measurable("rear width over tyres", 0.008, "Between two straight edges upright on the tyres."),
    Measurable(
        "rolling circumference", 0.007, "Ten turns of a wheel on the floor, loaded; a tenth of it."
    ),
    Measurable(
        "engine speed at cruise",
        0.012,
        "In top gear at a steady GPS speed, clutch or converter locked.",
        relative=True,
        place="road",
    ),
    Measurable(
        "speedometer error",
        0.01,
        "Shown against GPS speed, steady, both ways; (shown - true) / true.",
        place="road",
    ),
    Measurable("front axle load", 10.0, _SCALE, place="scale"),
    Measurable("rear axle load", 10.0, _SCALE, place="scale"),
    Measurable("vehicle mass", 15.0, _SCALE, place="scale"),
)


@dataclass(frozen=True, slots=True)
class Assumption:
    """Something that the figures rest on and that may be off.

    Parameters
    ----------
    name
        In words.
    figures
        Figures and totals that it moves.
    unit
        Of the correction; ``"%"`` where it is a share.
    way
        ``"add"`` to each figure; ``"scale"`` each; ``"scale what was fitted"``: the share of a
        total that the package brings.
    step
        For trying how the figures answer.
    usual
        The most that it is off by without something being wrong: common practice, no source.
    positions
        Where the parts sit: unless one was changed, the vehicle as it stood was off as well.
    """

    name: str
    figures: tuple[str, ...]
    unit: str
    way: Literal["add", "scale", "scale what was fitted"]
    step: float
    usual: float
    positions: tuple[str, ...]


_MASSES = ("vehicle mass", "front axle load", "rear axle load", "payload left")
_TYRES = ("tyres",)
ASSUMPTIONS = (
    Assumption(
        "rolling circumference", ("rolling circumference",), "%", "scale", 0.01, 0.03, _TYRES
    ),
    Assumption(
        "static loaded radius",
        ("front static radius", "rear static radius"),
        "mm",
        "add",
        0.005,
        0.015,
        _TYRES,
    ),
    Assumption(
        "static loaded radius in front", ("front static radius",), "mm", "add", 0.005, 0.015, _TYRES
    ),
    Assumption(
        "static loaded radius at the rear",
        ("rear static radius",),
        "mm",
        "add",
        0.005,
        0.015,
        _TYRES,
    ),
    Assumption(
        "load on board when it was weighed",
        ("vehicle mass", "front axle load", "rear axle load"),
        "%",
        "scale",
        0.01,
        0.05,
        (),
    ),
    Assumption("mass of what was fitted", _MASSES, "%", "scale what was fitted", 0.1, 0.3, ()),
    Assumption(
        "overall drive ratio",
        ("front overall drive ratio", "rear overall drive ratio"),
        "%",
        "scale",
        0.01,
        0.005,
        (
            "front crown wheel and pinion",
            "rear crown wheel and pinion",
            "front hub reductions",
            "rear hub reductions",
        ),
    ),
    Assumption(
        "lift of the springs",
        ("front spring lift", "rear spring lift"),
        "mm",
        "add",
        0.005,
        0.02,
        ("front springs", "rear springs"),
    ),
    Assumption(
        "distance of the wheel faces",
        ("front hub-face distance", "rear hub-face distance"),
        "mm",
        "add",
        0.005,
        0.01,
        ("front axle", "rear axle", "front hub reductions", "rear hub reductions"),
    ),
)
