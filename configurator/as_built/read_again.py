"""Which measures of a vehicle the work changes, and which figure says what they are after it."""

from __future__ import annotations

CIRCUMFERENCE = "rolling circumference"
# Measures of the vehicle that are what a figure says after the work.
AFTER = {
    "laden mass": "vehicle mass",
    "laden front axle load": "front axle load",
    "laden rear axle load": "rear axle load",
    "payload": "payload left",
    "front static radius": "front static radius",
    "rear static radius": "rear static radius",
    "front unsprung mass": "front mass below the springs",
    "rear unsprung mass": "rear mass below the springs",
    "front spring load": "front spring load",
    "rear spring load": "rear spring load",
    "centre of gravity height": "centre of gravity height",
    "door sill height": "door sill height",
    "body underside height": "running clearance",
    "headlamp lower edge height": "headlamp lower edge height",
    "headlamp upper edge height": "headlamp upper edge height",
    "speedometer reads high": "speedometer error",
}
# Measures that rise with the body.
RISES = {
    "front hard point height": "front body rise",
    "rear hard point height": "rear body rise",
    "sill underside height": "body rise",
}
