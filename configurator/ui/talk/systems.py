"""The systems of a vehicle in the order of the talk: those its families name, tyres first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.documents.document_templates import SYSTEMS

if TYPE_CHECKING:
    from configurator.model.parts import Family

OTHERS = "Other parts"
# What a customer decides first within a system; the other families follow as they were declared.
FIRST = (
    "tyres", "wheels", "hub_reductions", "axles", "half_shafts", "diff_ratios", "diff_locks",
    "springs", "shocks", "steering_links", "brakes", "arch_trimming",
)  # fmt: skip


def system_of(family: Family) -> str:
    """Return the heading under which the positions of a family stand."""
    return family.system or OTHERS


def place_of(family: Family) -> tuple[int, str, int]:
    """Return what sorts families into the order of the talk.

    Systems that a document lists come first and in its order, then those that only a plugin of
    the shop's own names, then families that name none.
    """
    within = FIRST.index(family.key) if family.key in FIRST else len(FIRST)
    if family.system in SYSTEMS:
        return SYSTEMS.index(family.system), "", within
    return len(SYSTEMS) + (not family.system), family.system, within
