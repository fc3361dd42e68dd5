"""Fitwright: which parts fit together on a four-wheel-drive vehicle, and what they cost.

The core knows no tyre and no axle. What parts there are comes from catalogs, what they do
comes from plugins; the core asks both and searches. Packages import in one direction only, from
`core` and `model` up to `cli` and `ui`; ``tests/test_architecture.py`` has the order.

Begin with `open_job` and `find` to ask, with `plugin` to extend. Public are the names in
``__all__``, all of `configurator.plugin`, `configurator.hookspecs` and `configurator.testing`, and
`configurator.formulas`; everything else may move.
"""

from importlib import import_module
from typing import Any

__version__ = "0.1.0"

# Where the public names live: they are fetched when asked for, so that ``fitwright --help`` need
# not wait for numpy.
_HOMES = {
    "open_job": "configurator.questions.open_job",
    "count": "configurator.questions.answers",
    "different": "configurator.questions.answers",
    "find": "configurator.questions.answers",
    "options": "configurator.questions.answers",
    "why": "configurator.questions.answers",
    "trade_off": "configurator.questions.trade_offs",
    "money_words": "configurator.wording.quantities",
}

__all__ = [
    "__version__",
    "count",
    "different",
    "find",
    "money_words",
    "open_job",
    "options",
    "trade_off",
    "why",
]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        message = f"module {__name__!r} has no attribute {name!r}"
        raise AttributeError(message)
    return getattr(import_module(_HOMES[name]), name)
