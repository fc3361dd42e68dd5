"""Steering, links and housings."""

from __future__ import annotations

from math import atan, cos, degrees, pi, radians, sin, sqrt, tan

from tests.validation.worked_example.rounding import down, near, up

# Before anything is rounded: a tyre of 776 mm, scrub radius 68 - 368 tan 9
SCRUB_BEFORE = 0.068 - 0.368 * tan(radians(9))
LOAD_BEFORE = (
    0.7 * 6864.655 * (sqrt(0.272**2 / 8 + SCRUB_BEFORE**2) + sqrt(0.150 * (0.776 - 0.150))) / 0.170
)

STEERING = [
    # a wall as high as the rut is deep touches the tread sqrt(t (D - t)) ahead
    ("rut lever", "mm", up(sqrt(150 * (840 - 150)), 2), 322),
    (
        "steering torque",
        "N*m",
        up(0.7 * 6864.655 * (sqrt(0.255**2 / 8 + 0.042**2) + 0.322), 10),
        2030,
    ),
    ("steering link load", "N", up(2030 / 0.170, 500), 12000),
    ("track rod length needed", "mm", 1330 + (1630 - 1610), 1350),
    # the drag link turns both wheels
    ("drag link load", "N", 12000 + 12000, 24000),
    # it fell by 900 sin 4 and falls by the lift more now; the knuckle stands 10 further out
    ("drag link drop", "mm", 900 * sin(radians(4)) + 35, 97.7808),
    (
        "drag link length needed",
        "mm",
        up(sqrt((900 * cos(radians(4)) + 10) ** 2 + 97.7808**2), 5),
        915,
    ),
    # Up by 50, the ends of drag link and Panhard rod swing out from 97.78 and 860 sin 4 + 35 =
    # 94.99 below their other ends; over an arm of 170
    (
        "bump steer",
        "deg",
        up(
            degrees(
                atan(
                    abs(
                        (sqrt(900**2 - 47.7808**2) - sqrt(900**2 - 97.7808**2))
                        - (sqrt(860**2 - 44.9906**2) - sqrt(860**2 - 94.9906**2))
                    )
                    / 170
                )
            ),
            0.1,
        ),
        0.1,
    ),
    # k = sqrt(D2 + d2)/4. 35/23: L/k = 1350/10.47 = 129, 30/18: 915/8.746 = 105; both above
    # sqrt(2 pi2 E / Sy) = 96.4, so Euler: pi2 E I / L2
    (
        "track rod buckling load",
        "N",
        down(pi**2 * 205000 * pi / 64 * (35**4 - 23**4) / 1350**2, 500),
        66500,
    ),
    (
        "drag link buckling load",
        "N",
        down(pi**2 * 205000 * pi / 64 * (30**4 - 18**4) / 915**2, 500),
        83500,
    ),
    # 18 % of the load on a front wheel
    ("knock on a steering link", "N", up(0.18 * 6864.655, 50), 1250),
    # 4 Sy Z / L, Z = pi (D4 - d4) / 32 D
    (
        "track rod bending load",
        "N",
        down(4 * 435 * pi * (35**4 - 23**4) / (32 * 35) / 1350, 50),
        4400,
    ),
    (
        "drag link bending load",
        "N",
        down(4 * 435 * pi * (30**4 - 18**4) / (32 * 30) / 915, 50),
        4350,
    ),
    # the damper as it was, and 30 % of what the links carry more than 500 N beyond before
    (
        "steering damping needed",
        "N",
        up(350 + 0.30 * (2030 / 0.170 - LOAD_BEFORE - 500), 50),
        400,
    ),
]

LINKS_AND_HOUSINGS = [
    # the link swings: along L cos a, down L sin a + lift
    (
        "front Panhard rod length needed",
        "mm",
        near(sqrt((860 * cos(radians(4))) ** 2 + (860 * sin(radians(4)) + 35) ** 2), 0.5),
        863,
    ),
    (
        "rear Panhard rod length needed",
        "mm",
        near(sqrt((880 * cos(radians(3))) ** 2 + (880 * sin(radians(3)) + 40) ** 2), 0.5),
        883,
    ),
    # 0.8 of the permitted axle load; in front the drag link pushes as well
    ("front Panhard rod load", "kN", up(0.8 * 1400 * 9.80665 / 1000 + 24, 0.5), 35),
    ("rear Panhard rod load", "kN", up(0.8 * 1780 * 9.80665 / 1000, 0.5), 14),
    # 32/22: k = 9.708, L/k = 88.89 below sqrt(2 pi2 E / Sy) = 92.04: Johnson
    # A (Sy - (Sy L/k / 2 pi)2 / E)
    (
        "front Panhard rod buckling load",
        "kN",
        down(
            pi / 4 * (32**2 - 22**2) * (480 - (480 * 88.8935 / (2 * pi)) ** 2 / 206000) / 1000, 0.1
        ),
        108.6,
    ),
    # 30/22: k = 9.301, L/k = 94.9 above 92.04: Euler
    (
        "rear Panhard rod buckling load",
        "kN",
        down(pi**2 * 206000 * pi / 64 * (30**4 - 22**4) / 883**2 / 1000, 0.1),
        73.6,
    ),
    # pi (D4 - d4) / 32 D + what the reinforcement adds, cm3
    (
        "front housing section modulus",
        "cm3",
        down(pi * (80**4 - 64**4) / (32 * 80) / 1000 + 14, 0.5),
        43.5,
    ),
    (
        "rear housing section modulus",
        "cm3",
        down(pi * (82.6**4 - 66.6**4) / (32 * 82.6) / 1000 + 10, 0.5),
        41.5,
    ),
    # wheel load on half of (track - spring spacing), and 15 % of it sideways at the tyre's radius
    (
        "front housing bending moment",
        "N*m",
        up(6864.655 * ((1.665 - 0.720) / 2 + 0.15 * 0.480), 50),
        3750,
    ),
    (
        "rear housing bending moment",
        "N*m",
        up(1780 * 9.80665 / 2 * ((1.645 - 0.780) / 2 + 0.15 * 0.480), 50),
        4450,
    ),
    # 350 MPa x Z / (2.5 M)
    ("front housing reserve", "", down(350 * 43.5 / (2.5 * 3750), 0.02), 1.62),
    ("rear housing reserve", "", down(350 * 41.5 / (2.5 * 4450), 0.02), 1.3),
    # one welded truss, one clamped stiffener
    ("front housing welds", "", 1, 1),
    ("rear housing welds", "", 0, 0),
    # the brakes come off at both ends for hub reductions and new half-shafts: nothing else is drawn
    ("front half-shafts drawn", "", 0, 0),
    ("rear half-shafts drawn", "", 0, 0),
]
