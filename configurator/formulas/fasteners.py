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
DRY_NUT_FACTOR = Constant(
    0.20, "", "Budynas & Nisbett, Shigley, 10th ed., table 8-15 (from memory): dry or unplated"
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
