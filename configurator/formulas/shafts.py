"""What a round shaft bears in torsion, and how strong the usual steels are."""

from __future__ import annotations

from dataclasses import dataclass

from configurator.core.units import to_si
from configurator.formulas.constants import SHEAR_YIELD_SHARE, Number
from configurator.formulas.sections import tube_torsion_constant


@dataclass(frozen=True, slots=True)
class Strength:
    """Strength of a steel in one state of heat treatment.

    Parameters
    ----------
    ultimate
        Tensile strength [Pa].
    yielding
        Yield strength [Pa].
    source
        Where both are from.
    """

    ultimate: float
    yielding: float
    source: str


_MOTT = "Mott, Machine Elements in Mechanical Design, appendix 3, as transcribed in melib 1.1.1"
_MEMORY = "from memory, not verified"

STRENGTHS: dict[str, Strength] = {
    name: Strength(to_si(ultimate, "MPa"), to_si(yielding, "MPa"), source)
    for name, ultimate, yielding, source in (
        ("1020 hot-rolled", 379, 207, _MOTT),
        ("1020 cold-drawn", 420, 352, _MOTT),
        ("1040 hot-rolled", 496, 290, _MOTT),
        ("1040 cold-drawn", 552, 490, _MOTT),
        ("1040 OQT 1300", 607, 421, _MOTT),
        ("4130 annealed", 558, 359, _MOTT),
        ("4130 WQT 1300", 676, 614, _MOTT),
        ("4130 WQT 1000", 986, 910, _MOTT),
        ("4130 WQT 700", 1430, 1240, _MOTT),
        ("4130 WQT 400", 1610, 1360, _MOTT),
        ("4140 annealed", 655, 372, _MOTT),
        ("4140 OQT 1300", 807, 690, _MOTT),
        ("4140 OQT 1000", 1160, 1050, _MOTT),
        ("4140 OQT 700", 1590, 1460, _MOTT),
        ("4140 OQT 400", 2000, 1730, _MOTT),
        ("4340 annealed", 745, 469, _MOTT),
        ("4340 OQT 1300", 965, 827, _MOTT),
        ("4340 OQT 1000", 1180, 1090, _MOTT),
        ("4340 OQT 700", 1590, 1420, _MOTT),
        ("4340 OQT 400", 1950, 1570, _MOTT),
        ("300M", 1930, 1585, _MEMORY),
    )
}
"""Typical strengths of shaft steels by SAE number; OQT and WQT are oil or water quenched and
tempered at that many degrees Fahrenheit. Other heats of the same steel differ by 20 % and more:
the maker's figure wins."""


def polar_section_modulus(diameter: Number, bore: Number = 0.0) -> Number:
    """Polar section modulus of a round shaft: torque over it is the stress at the surface.

    Parameters
    ----------
    diameter : float
        Outside diameter; root diameter on a spline [m].
    bore : float
        Inside diameter, 0 for a solid shaft [m].

    Returns
    -------
    float
        Polar section modulus [m**3].

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., 3-12.

    Examples
    --------
    >>> f"{polar_section_modulus(0.0381):.4e}"
    '1.0859e-05'
    """
    return tube_torsion_constant(diameter, bore) / (diameter / 2)


def shear_stress(torque: Number, diameter: Number, bore: Number = 0.0) -> Number:
    """Shear stress at the surface of a shaft in torsion.

    Parameters
    ----------
    torque : float
        Torque in the shaft [N m].
    diameter : float
        Outside diameter; root diameter on a spline [m].
    bore : float
        Inside diameter, 0 for a solid shaft [m].

    Returns
    -------
    float
        Shear stress [Pa].

    Notes
    -----
    Nominal: the notch of a spline or shoulder comes on top. A spline counts with its root
    diameter, where a shaft breaks.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., 3-12.
    .. [2] ANSI B92.1, ISO 4156, for spline diameters.

    Examples
    --------
    >>> round(shear_stress(4000.0, 0.0381) / 1e6, 1)
    368.3
    """
    return torque / polar_section_modulus(diameter, bore)


def torque_capacity(diameter: Number, yield_strength: Number, bore: Number = 0.0) -> Number:
    """Torque at which the surface of a shaft begins to yield.

    Parameters
    ----------
    diameter : float
        Outside diameter; root diameter on a spline [m].
    yield_strength : float
        Yield strength in tension [Pa].
    bore : float
        Inside diameter, 0 for a solid shaft [m].

    Returns
    -------
    float
        Torque at yield [N m].

    Notes
    -----
    Nominal, without notches, fatigue or a hardened case: a yardstick between shafts. A rating by
    the maker wins.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., 3-12 and 5-5:
       shear yield strength is 0.577 of that in tension.

    Examples
    --------
    >>> round(torque_capacity(0.0333, 1090e6))
    4560
    """
    share = SHEAR_YIELD_SHARE.beside(yield_strength)
    return share * yield_strength * polar_section_modulus(diameter, bore)


def torsional_stiffness(shear_modulus: Number, torsion_constant: Number, length: Number) -> Number:
    """Torque for each radian of twist.

    Parameters
    ----------
    shear_modulus : float
        Shear modulus [Pa].
    torsion_constant : float
        Torsion constant of the section, see `sections.tube_torsion_constant` [m**4].
    length : float
        Length that twists [m].

    Returns
    -------
    float
        Torsional stiffness [N m/rad].

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., 3-12.

    Examples
    --------
    >>> round(torsional_stiffness(79.3e9, tube_torsion_constant(0.0381, 0.0), 0.700), 1)
    23435.5
    """
    return shear_modulus * torsion_constant / length
