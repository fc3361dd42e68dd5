"""Fitwright: which parts fit together on a four-wheel-drive vehicle, and what they cost.

The core knows no tyre and no axle. What parts there are comes from catalogs, what they do
comes from plugins; the core asks both and searches.
"""

__version__ = "0.1.0"
