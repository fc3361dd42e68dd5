"""Bolts and studs: what they hold, and the torque that tightens them.

The makers' torque figures come first. What is worked out here shows whether a figure is
plausible; wheel and brake fasteners are tightened to the makers' figures and checked again
after the first drive.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from configurator.core.units import Constant
from configurator.formulas.constants import Number

METRIC_DEPTH = Constant(0.938194, "", "ISO 898-1:2013, 9.1.6, stress area (clause from memory)")
INCH_DEPTH = Constant(0.9743, "", "ASME B1.1, stress area (from memory)")
PITCH_DIAMETER_DEPTH = Constant(0.649519, "", "ISO 724:1993, 3 H / 4 (from memory)")
DRY_NUT_FACTOR = Constant(
    0.20, "", "Budynas & Nisbett, Shigley, 10th ed., table 8-15 (from memory): dry or unplated"
)
LUBRICATED_NUT_FACTOR = Constant(
    0.15, "", "Budynas & Nisbett, Shigley, 10th ed., table 8-15 (from memory): oiled"
)
REUSABLE_PRELOAD_SHARE = Constant(
    0.75, "", "Budynas & Nisbett, Shigley, 10th ed., eq. 8-31 (from memory): joints taken apart"
)


@dataclass(frozen=True, slots=True)
class PropertyClass:
    """Strength of a class of steel bolts.

    Parameters
    ----------
    name
        As stamped on the head.
    above, up_to
        Thread diameters for which it holds [m]; ``above`` itself is outside.
    tensile
        Least tensile strength [Pa].
    yielding
        Least yield strength or 0.2 % proof strength [Pa].
    proof
        Stress under proof load [Pa].
    """

    name: str
    above: Constant
    up_to: Constant
    tensile: Constant
    yielding: Constant
    proof: Constant


_ISO_898_1 = "ISO 898-1, table of mechanical properties (as cited by suppliers' tables)"


def _class(
    name: str, above: float, up_to: float, tensile: float, yielding: float, proof: float
) -> PropertyClass:
    return PropertyClass(
        name,
        Constant(above, "m", _ISO_898_1),
        Constant(up_to, "m", _ISO_898_1),
        Constant(tensile, "Pa", _ISO_898_1),
        Constant(yielding, "Pa", _ISO_898_1),
        Constant(proof, "Pa", _ISO_898_1),
    )


PROPERTY_CLASSES = (
    _class("8.8", 0.0, 0.016, 800e6, 640e6, 580e6),
    _class("8.8", 0.016, 0.039, 830e6, 660e6, 600e6),
    _class("9.8", 0.0, 0.016, 900e6, 720e6, 650e6),
    _class("10.9", 0.0, 0.039, 1040e6, 940e6, 830e6),
    _class("12.9", 0.0, 0.039, 1220e6, 1100e6, 970e6),
)
"""By class and diameter; 8.8 is made to two strengths."""


@dataclass(frozen=True, slots=True)
class ClearanceHole:
    """Holes for a bolt to pass through.

    Parameters
    ----------
    diameter
        Diameter of the bolt [m].
    fine, medium, coarse
        Diameter of the hole in each series [m].
    """

    diameter: Constant
    fine: Constant
    medium: Constant
    coarse: Constant


def _hole(diameter: float, fine: float, medium: float, coarse: float) -> ClearanceHole:
    source = "ISO 273:1979, table 1 (as cited by suppliers' tables)"
    return ClearanceHole(
        *(Constant(size, "m", source) for size in (diameter, fine, medium, coarse))
    )


CLEARANCE_HOLES = {
    "M6": _hole(0.006, 0.0064, 0.0066, 0.0070),
    "M8": _hole(0.008, 0.0084, 0.0090, 0.0100),
    "M10": _hole(0.010, 0.0105, 0.0110, 0.0120),
    "M12": _hole(0.012, 0.0130, 0.0135, 0.0145),
    "M14": _hole(0.014, 0.0150, 0.0155, 0.0165),
    "M16": _hole(0.016, 0.0170, 0.0175, 0.0185),
}


def stress_area(diameter: Number, pitch: Number) -> Number:
    """Stress area of a metric thread.

    Parameters
    ----------
    diameter : float
        Nominal diameter [m].
    pitch : float
        Pitch [m].

    Returns
    -------
    float
        Stress area [m**2].

    References
    ----------
    .. [1] ISO 898-1:2013, 9.1.6 (clause from memory).

    Examples
    --------
    >>> round(stress_area(0.012, 0.00175) * 1e6, 2)
    84.27
    """
    return np.pi / 4.0 * (diameter - METRIC_DEPTH.value * pitch) ** 2


def inch_stress_area(diameter: Number, threads_per_length: Number) -> Number:
    """Stress area of a unified inch thread.

    Parameters
    ----------
    diameter : float
        Nominal diameter [m].
    threads_per_length : float
        Threads for each unit of length [1/m].

    Returns
    -------
    float
        Stress area [m**2].

    References
    ----------
    .. [1] ASME B1.1; Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., table
       8-2 (both from memory).

    Examples
    --------
    >>> round(inch_stress_area(0.0127, 20.0 / 0.0254) * 1e6, 1)
    103.2
    """
    return np.pi / 4.0 * (diameter - INCH_DEPTH.value / threads_per_length) ** 2


def pitch_diameter(diameter: Number, pitch: Number) -> Number:
    """Pitch diameter of a metric thread.

    Parameters
    ----------
    diameter : float
        Nominal diameter [m].
    pitch : float
        Pitch [m].

    Returns
    -------
    float
        Pitch diameter [m].

    References
    ----------
    .. [1] ISO 724:1993 (from memory).

    Examples
    --------
    >>> round(pitch_diameter(0.012, 0.00175) * 1e3, 3)
    10.863
    """
    return diameter - PITCH_DIAMETER_DEPTH.value * pitch


def bolt_load(stress_area: Number, strength: Number) -> Number:
    """Load of a bolt at a stress: proof load from proof strength, and so on.

    Parameters
    ----------
    stress_area : float
        Stress area [m**2].
    strength : float
        Stress under proof load, or tensile strength [Pa].

    Returns
    -------
    float
        Load along the bolt [N].

    References
    ----------
    .. [1] ISO 898-1, tables of minimum ultimate tensile loads and proof loads.

    Examples
    --------
    >>> round(bolt_load(88.126e-6, 830e6))
    73145
    """
    return stress_area * strength


def preload(proof_load: Number, share: Number) -> Number:
    """Preload to aim for.

    Parameters
    ----------
    proof_load : float
        Proof load [N].
    share : float
        Share of it, 0.75 for joints that are taken apart again [-].

    Returns
    -------
    float
        Preload [N].

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., eq. 8-31 (from
       memory).

    Examples
    --------
    >>> round(preload(73144.6, REUSABLE_PRELOAD_SHARE.value))
    54858
    """
    return proof_load * share


def tightening_torque(preload: Number, diameter: Number, nut_factor: Number) -> Number:
    """Tightening torque by the short form, T = K D F.

    Parameters
    ----------
    preload : float
        Preload wanted [N].
    diameter : float
        Nominal diameter [m].
    nut_factor : float
        Nut factor, 0.20 dry, 0.15 oiled [-].

    Returns
    -------
    float
        Tightening torque [N*m].

    Notes
    -----
    The preload that a torque gives scatters by a quarter either way. A dry figure used on oiled
    threads overloads the bolt by a third.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., eq. 8-27 (from
       memory).

    Examples
    --------
    >>> round(tightening_torque(54858.4, 0.012, DRY_NUT_FACTOR.value), 1)
    131.7
    """
    return nut_factor * diameter * preload


def preload_from_torque(torque: Number, diameter: Number, nut_factor: Number) -> Number:
    """Preload that a tightening torque gives by the short form.

    Parameters
    ----------
    torque : float
        Tightening torque [N*m].
    diameter : float
        Nominal diameter [m].
    nut_factor : float
        Nut factor, 0.20 dry, 0.15 oiled [-].

    Returns
    -------
    float
        Preload [N].

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., eq. 8-27 (from
       memory).

    Examples
    --------
    >>> round(preload_from_torque(110.0, 0.012, 0.20))
    45833
    """
    return torque / (nut_factor * diameter)


def tightening_torque_by_friction(
    preload: Number,
    pitch: Number,
    pitch_diameter: Number,
    bearing_diameter: Number,
    thread_friction: Number,
    bearing_friction: Number,
) -> Number:
    """Tightening torque by the long form, from thread and friction.

    Parameters
    ----------
    preload : float
        Preload wanted [N].
    pitch : float
        Pitch [m].
    pitch_diameter : float
        Pitch diameter [m].
    bearing_diameter : float
        Mean diameter of the face under the head or nut [m].
    thread_friction : float
        Friction in the thread [-].
    bearing_friction : float
        Friction under the head or nut [-].

    Returns
    -------
    float
        Tightening torque [N*m].

    Notes
    -----
    Threads of 60 degrees; flat face under the head. A cone seat at a wheel needs more torque.
    The coefficients printed as 0.159 and 0.577 are 1/(2 pi) and 1/(2 cos 30 degrees).

    References
    ----------
    .. [1] VDI 2230 part 1 (2015), eq. R13 (number from memory).

    Examples
    --------
    >>> torque = tightening_torque_by_friction(39500.0, 0.00175, 0.010863, 0.0155, 0.125, 0.125)
    >>> round(float(torque), 1)
    80.2
    """
    thread = pitch / (2.0 * np.pi) + thread_friction * pitch_diameter / np.sqrt(3.0)
    return preload * (thread + bearing_friction * bearing_diameter / 2.0)


def bearing_diameter(face_diameter: Number, hole_diameter: Number) -> Number:
    """Mean diameter of the face under a head or nut.

    Parameters
    ----------
    face_diameter : float
        Outer diameter of the face [m].
    hole_diameter : float
        Diameter of the hole in the part [m].

    Returns
    -------
    float
        Mean diameter [m].

    References
    ----------
    .. [1] VDI 2230 part 1 (2015), D_Km (from memory).

    Examples
    --------
    >>> round(bearing_diameter(0.0180, 0.0130) * 1e3, 2)
    15.5
    """
    return (face_diameter + hole_diameter) / 2.0
