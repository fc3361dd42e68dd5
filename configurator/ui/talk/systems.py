"""The systems of a vehicle, in the order of the talk: tyres and wheels first."""

from __future__ import annotations

# Heading → keys of the families that belong to it; families of a shop's own come last.
SYSTEMS: dict[str, tuple[str, ...]] = {
    "Tyres and wheels": ("tyres", "wheels", "nuts", "spare_carriers", "speedometer_calibration"),
    "Axles and hub reductions": (
        "hub_reductions", "axles", "half_shafts", "reinforcement", "panhard_rods",
        "panhard_rod_braces",
    ),
    "Gears and locks": ("diff_ratios", "diff_locks", "compressors", "propshafts"),
    "Springs and shock absorbers": ("springs", "shocks", "bump_stops", "limit_straps"),
    "Steering": ("steering_links", "steering_dampers"),
    "Brakes": ("brakes", "master_cylinders", "brake_hoses"),
    "Body and guards": (
        "arch_trimming", "arch_extensions", "steps", "sill_guards", "diff_guards",
        "hub_reduction_guards", "link_guards",
    ),
}  # fmt: skip
OTHERS = "Other parts"


def system_of(family: str) -> str:
    """Return the heading under which a family's positions stand.

    Examples
    --------
    >>> system_of("tyres"), system_of("winches")
    ('Tyres and wheels', 'Other parts')
    """
    return next((name for name, keys in SYSTEMS.items() if family in keys), OTHERS)


def place_of(family: str) -> tuple[int, int]:
    """Return where a family stands in the order of the talk."""
    for number, keys in enumerate(SYSTEMS.values()):
        if family in keys:
            return number, keys.index(family)
    return len(SYSTEMS), 0
