"""A figure that a limit bounds is rounded to the side that is safe for the limit."""

from __future__ import annotations

from configurator.model.knowledge import Trade
from configurator.model.references import FigureValue

# Bounded on both sides, so that one of them is the other's unsafe side; comfort, a step wide.
ON_BOTH_SIDES = {
    "the front wheels have not too much caster",
    *(
        f"the {axle} {rule}"
        for axle in ("front", "rear")
        for rule in (
            "springs are not too hard",
            "springs are not too soft",
            "shocks calm the springs",
            "shocks are not too hard for the springs",
        )
    ),
}


def test_no_limit_is_kept_by_rounding(trade: Trade):
    unsafe, looked_at = set(), 0
    for limit in trade.limits.values():
        read = [item.reference for item in limit.inputs]
        safe = "down" if limit.at_least is not None else "up"
        sides = [(read[0], safe)] if len(read) == 1 else []
        sides += [(limit.at_least, "up"), (limit.at_most, "down")]
        for reference, side in sides:
            if not isinstance(reference, FigureValue) or reference.before:
                continue
            figure = trade.figures.get(reference.name)
            if figure is not None and figure.resolution:
                looked_at += 1
                if figure.rounding != side:
                    unsafe.add(limit.name)
    assert looked_at > 50
    assert unsafe == ON_BOTH_SIDES
    assert all(trade.limits[name].concerns == "comfort" for name in unsafe)
