"""Every name that a plugin file may import from the core, beside `configurator.formulas`.

Examples
--------
>>> @limit("the jack reaches the axle", unit="mm", at_least=0.0,
...        because="a jack that does not reach is no jack", source="geometry")
... def jack_reach(reach: float = vehicle("jack reach"), height: float = computed("axle height")):
...     return reach - height
>>> jack_reach.name, round(jack_reach(0.5, 0.4), 3)
('the jack reaches the axle', 0.1)
"""

from configurator.hookspecs import INTERFACE, Context, hookimpl
from configurator.model.cross_checks import CrossCheck, cross_check
from configurator.model.declarations import caution, figure, fit, limit, operation, total
from configurator.model.former_names import FormerNames
from configurator.model.parts import AXLES, Attribute, Family, Position
from configurator.model.parts import NOT_KNOWN as NOT_KNOWN
from configurator.model.phases import Phase
from configurator.model.references import computed, condition, each, fitted, part, practice, vehicle
from configurator.model.rules import Caution, Figure, Fit, Limit, Operation, Total
from configurator.model.states import STATES, Moves, State
from configurator.model.vehicles import Condition, Measure, Practice

__all__ = [
    "AXLES",
    "INTERFACE",
    "NOT_KNOWN",
    "STATES",
    "Attribute",
    "Caution",
    "Condition",
    "Context",
    "CrossCheck",
    "Family",
    "Figure",
    "Fit",
    "FormerNames",
    "Limit",
    "Measure",
    "Moves",
    "Operation",
    "Phase",
    "Position",
    "Practice",
    "State",
    "Total",
    "caution",
    "computed",
    "condition",
    "cross_check",
    "each",
    "figure",
    "fit",
    "fitted",
    "hookimpl",
    "limit",
    "operation",
    "part",
    "practice",
    "total",
    "vehicle",
]
