"""Brakes, what the driver feels on the road, and work."""

from __future__ import annotations

from math import asin, atan, pi, sqrt, tan

from tests.validation.worked_example.rounding import down, near, up

BRAKES = [
    # 500 N x pedal 3.8 x booster 3.2 over the bore, MPa into bar
    ("line pressure", "bar", down(500 * 3.8 * 3.2 / (pi / 4 * 26**2) * 10, 0.1), 114.5),
    # two wheels, two faces: 4 mu A r p; 11.45 MPa, at the rear 65 % of it; N mm into N m
    ("front brake torque", "N*m", down(4 * 0.40 * 3180 * 132 * 11.45 / 1000, 50), 7650),
    ("rear brake torque", "N*m", down(4 * 0.38 * 1390 * 126 * 11.45 * 0.65 / 1000, 50), 1950),
    ("brake torque", "N*m", down(7650 + 1950, 100), 9600),
    # torque over D/2 over the permitted mass
    (
        "deceleration at the permitted pedal force",
        "m/s2",
        down(9600 / 0.420 / 3050, 0.02),
        7.48,
    ),
    # the same without the pressure: N mm a MPa into N m a bar
    ("front brake torque for each bar", "N*m/bar", 4 * 0.40 * 3180 * 132 / 10000, 67.1616),
    ("rear brake torque for each bar", "N*m/bar", 4 * 0.38 * 1390 * 126 / 10000, 26.62128),
    ("front share of braking", "%", 67.1616 / (67.1616 + 0.65 * 26.62128) * 100, 79.513712),
    # (way from centre of gravity to rear axle + z h) / L; z = 7.85/9.80665 = 0.80048
    (
        "ideal front share of braking",
        "%",
        (2810 * 1180 / 2450 + 7.85 / 9.80665 * 720) / 2810 * 100,
        68.674,
    ),
    (
        "ideal front share of braking when finished",
        "%",
        up((2810 * 1335.59 / 2753.0 + 0.80048 * 816) / 2810 * 100, 0.1),
        71.8,
    ),
    # m v2 / 2 = 3050 x 27.778^2 / 2 = 1.17670 MJ, its share over 2 rotors x 460 J/kgK
    ("front rotor temperature rise", "kelvin", up(1176700 * 0.79514 / (2 * 8.6 * 460), 2), 120),
    ("rear rotor temperature rise", "kelvin", up(1176700 * 0.20486 / (2 * 4.6 * 460), 2), 58),
    # two brakes, pistons count on both sides, cm2
    ("front brake piston area", "cm2", 2 * 2 * 31.8, 127.2),
    ("rear brake piston area", "cm2", 2 * 2 * 13.9, 55.6),
    # (areas x 0.5 mm) over the bore, of a stroke of 34
    (
        "pedal travel used",
        "%",
        up((12720 + 5560) * 0.5 / (pi / 4 * 26**2) / 34 * 100, 0.5),
        51,
    ),
]

ON_THE_ROAD = [
    # (1.225/2 x 0.44 x 2.95 v2 + 0.015 m g) v / 0.90 at 100 km/h = 27.778 m/s
    (
        "power at cruise",
        "kW",
        up(
            (0.5 * 1.225 * 0.44 * 2.95 * 27.77778**2 + 0.015 * 3050 * 9.80665)
            * 27.77778
            / 0.90
            / 1000,
            0.1,
        ),
        32.8,
    ),
    # x = 2390/3600: 130 kW x (0.87 + 1.13 x - x2), no more than 360 N m at 2390 rpm
    (
        "power in top gear",
        "kW",
        down(
            min(
                130 * (2390 / 3600) * (0.87 + 1.13 * 2390 / 3600 - (2390 / 3600) ** 2),
                360 * 2390 * 2 * pi / 60 / 1000,
            ),
            0.5,
        ),
        90,
    ),
    # 90 kW x 0.9 / v less the air, F = m g (sin a + f cos a)
    (
        "grade at cruise",
        "%",
        down(
            tan(
                asin(
                    (90000 * 0.90 / 27.77778 - 0.5 * 1.225 * 0.44 * 2.95 * 27.77778**2)
                    / (3050 * 9.80665 * sqrt(1 + 0.015**2))
                )
                - atan(0.015)
            )
            * 100,
            0.1,
        ),
        6.2,
    ),
    # (32.8 kW + friction 33.42 N m at 2390 rpm) over 0.42 and 35.8 MJ/l, over 100 km in an hour
    (
        "consumption at cruise",
        "l/100 km",
        up((32800 + 33.4225 * 2390 * 2 * pi / 60) * 3600 / (0.42 * 35.8e6), 0.1),
        9.9,
    ),
    ("true speed of the check", "km/h", 120, 120),
    ("speed shown", "km/h", near(120 * 1.02, 1), 122),
    # lower edge at 913 mm, between 0.8 and 1.0 m
    ("headlamp fall at least", "%", 1.0, 1.0),
    ("headlamp fall at most", "%", 2.0, 2.0),
]

WORK = [
    ("tyre height changes", "", 1, 1),
    ("hub reductions changed", "", 1, 1),
    ("front hub oil", "litre", up(2 * 0.4, 0.1), 0.8),
    ("rear hub oil", "litre", up(2 * 0.4, 0.1), 0.8),
    ("front wheel ends opened", "", 1, 1),
    ("rear wheel ends opened", "", 1, 1),
    ("front brakes worked on", "", 1, 1),
    ("rear brakes worked on", "", 1, 1),
]
