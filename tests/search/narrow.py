"""Limits under which small cases take the ways that long lists take."""

from __future__ import annotations

from dataclasses import replace

from configurator.search.limits import Limits

# No join is small enough, and variables are taken apart where two tables give more than two rows;
# below ceilings on the price, joins are.
CEILINGS = Limits(circuit_rows=-1, unsampled_rows=-1, apart_pairs=2)
# Nor are they there.
NARROW = replace(CEILINGS, ceiling_rows=-1)
