"""Fitwright: which parts fit together on a four-wheel-drive vehicle, and what they cost.

The core knows no tyre and no axle. What parts there are comes from catalogs, what they do
comes from plugins; the core asks both and searches. Packages import in one direction only, from
`core` and `model` up to `cli` and `ui`; ``tests/test_architecture.py`` has the order.

Begin with `questions.answers` to ask, with `plugin` to extend.
"""

__version__ = "0.1.0"
