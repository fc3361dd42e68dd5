"""What was promised against what was measured: compare, explain, carry over to the next job."""

from configurator.measured.explaining import (
    Compared,
    Explained,
    Findings,
    Supposed,
    at_cruise,
    compare,
    explain,
    measurable,
    tolerance_of,
)
from configurator.measured.tables import ASSUMPTIONS, MEASURABLE, Assumption, Measurable

__all__ = [
    "ASSUMPTIONS",
    "MEASURABLE",
    "Assumption",
    "Compared",
    "Explained",
    "Findings",
    "Measurable",
    "Supposed",
    "at_cruise",
    "compare",
    "explain",
    "measurable",
    "tolerance_of",
]
