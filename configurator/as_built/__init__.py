"""What was promised against what was measured: compare, explain, carry over to the next job.

Imports everything up to `configurator.wording`; documents, what is saved, commands and pages import
it.

Begin with `assumptions` and `diagnosis`.
"""

from configurator.as_built.assumptions import ASSUMPTIONS, MEASURABLE, Assumption, Measurable
from configurator.as_built.diagnosis import (
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
