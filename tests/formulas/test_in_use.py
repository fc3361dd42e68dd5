"""Every formula is read by a rule, by the program or by a formula that is; nothing is kept unread.

Some are not, and stand in checks against outside values, beside formulas that rules read: the
printed number is of the one, the rule reads the other.
"""

from __future__ import annotations

import ast
from pathlib import Path

from configurator.core import paths

ROOT = Path(__file__).parents[2]
FORMULAS = ROOT / "configurator" / "formulas"
# By module. Outside checks of what rules read go through these.
IN_CHECKS_ONLY = {
    "brake_balance": {
        "equal_adhesion_deceleration",
        "front_adhesion_used",
        "front_axle_braking_load",
        "rear_adhesion_used",
        "rear_axle_braking_load",
    },
    "brakes": {
        "brake_torque_needed",
        "deceleration_reached",
        "disc_brake_torque",
        "pedal_force_needed",
        "torque_at_wheel",
    },
    "dampers": {"damper_rate_needed", "ride_length_at_share"},
    "fasteners": {"bolt_load", "stress_area"},
    "gearing": {"hub_ratio_from_reduction", "restoring_ratio"},
    "housing": {"built_up_section_modulus", "midspan_deflection"},
    "mass": {"mean_position", "total_mass"},
    "shafts": {"shear_stress", "torsional_stiffness"},
    "speedometer": {"error_share", "is_lawful"},
    "springs": {"ride_frequency_from_deflection", "ride_rate", "static_deflection"},
    "steering": {"ackermann_outer_angle", "rear_axle_turning_radius"},
    "torque": {"torque_relief"},
    "tyres": {"effective_radius_from_deflection", "theoretical_rim_width"},
    "wheels": {
        "adjacent_stud_distance",
        "backspacing_from_offset",
        "effective_offset",
        "offset_from_backspacing",
        "outboard_reach",
        "track_change",
        "width_over_flanges",
    },
}


def _names(tree: ast.AST) -> set[str]:
    """Every name that is read somewhere in a tree."""
    return {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)} | {
        node.id for node in ast.walk(tree) if isinstance(node, ast.Name)
    }


def _tree(file: Path) -> ast.Module:
    return ast.parse(file.read_text(encoding="utf-8"))


def _formulas() -> dict[str, tuple[str, set[str]]]:
    """Public formulas: name → module, and the names that each reads."""
    return {
        node.name: (file.stem, _names(node))
        for file in FORMULAS.glob("*.py")
        for node in _tree(file).body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
    }


def _reading() -> list[Path]:
    program = [
        file for file in (ROOT / "configurator").rglob("*.py") if FORMULAS not in file.parents
    ]
    return [*paths.plugins().glob("*.py"), *program]


def test_every_formula_is_read():
    formulas = _formulas()
    read = {name for file in _reading() for name in _names(_tree(file))} & set(formulas)
    while True:
        deeper = {name for reader in read for name in formulas[reader][1]} & set(formulas)
        if deeper <= read:
            break
        read |= deeper
    unread: dict[str, set[str]] = {}
    for name in set(formulas) - read:
        unread.setdefault(formulas[name][0], set()).add(name)
    assert unread == IN_CHECKS_ONLY


def test_what_is_kept_for_checks_stands_in_one():
    checks = {
        name for file in (ROOT / "tests/validation").glob("*.py") for name in _names(_tree(file))
    }
    formulas = _formulas()
    kept = {name for names in IN_CHECKS_ONLY.values() for name in names}
    below = {name for keeper in kept & checks for name in formulas[keeper][1]}
    assert kept <= checks | below
