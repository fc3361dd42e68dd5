"""Numbers that more than one subject needs, each with its unit and source."""

from __future__ import annotations

from typing import Any, TypeAlias

from configurator.core.units import Constant

Number: TypeAlias = Any
"""A float in SI, a numpy array of them, or a pint quantity.

No narrower type fits all three; the docstrings say ``float`` because that is what callers pass.
"""

STANDARD_GRAVITY = Constant(
    9.80665, "m/s**2", "ISO 80000-3; CGPM 1901; NIST SP 811 (2008), appendix B"
)

INCH = Constant(0.0254, "m", "NIST SP 811 (2008), appendix B")
"""For designations that are codes in inches, such as rim and flotation tyre sizes."""

STEEL_SHEAR_MODULUS = Constant(
    79.3e9, "Pa", "Budynas & Nisbett, Shigley, 10th ed., table A-5 (from memory)"
)

SHEAR_YIELD_SHARE = Constant(
    0.577,
    "",
    "distortion-energy theory, 1/sqrt(3) rounded; Budynas & Nisbett, Shigley, 10th ed., 5-5",
)
