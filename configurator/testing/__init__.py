"""PUBLIC: the kit for tests of plugins: a vehicle, a catalog and a job in code, and what must hold.

Imports everything up to `configurator.questions`; plugin tests and ``fitwright plugin`` import it.

Begin with `kit`, whose names this package offers, and `contract`, what every plugin promises.
"""

from configurator.testing.assertions import (
    assert_conflict,
    assert_margin,
    assert_package,
    assert_sound,
)
from configurator.testing.contract import Fault, check_plugin
from configurator.testing.kit import (
    case,
    demo_parts,
    demo_vehicle,
    load,
    part,
    ready,
    vehicle,
)

__all__ = [
    "Fault",
    "assert_conflict",
    "assert_margin",
    "assert_package",
    "assert_sound",
    "case",
    "check_plugin",
    "demo_parts",
    "demo_vehicle",
    "load",
    "part",
    "ready",
    "vehicle",
]
