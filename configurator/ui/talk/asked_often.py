"""What people ask for: figures offered as goals, and those that a build is told by.

Names of figures that the bundled plugins declare; those that a shop's plugins do not have are left
out where they are used.
"""

from __future__ import annotations

from typing import Literal

# In the order in which they are offered, and which way is better.
ASKED_OFTEN: dict[str, Literal["high", "low"]] = {
    "clearance under front axle": "high",
    "clearance under rear axle": "high",
    "engine speed at cruise": "low",
    "front track": "low",
    "entry height": "low",
    "crawl ratio": "high",
    "approach angle": "high",
    "tyre diameter": "high",
}
# Five figures a build is told by: name, what it is called there, which way is better.
BUILD_FIGURES: tuple[tuple[str, str, str], ...] = (
    ("tyre diameter", "Tyre", "high"),
    ("front track", "Track", ""),
    ("entry height", "Step in", "low"),
    ("crawl ratio", "Crawl ratio", "high"),
    ("payload left", "Payload left", "high"),
)


def direction_of(figure: str) -> Literal["high", "low"]:
    """Return which way is better in a figure that is offered as a goal."""
    return ASKED_OFTEN.get(figure, "high")
