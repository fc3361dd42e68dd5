"""Driveshafts and hoses."""

from __future__ import annotations

from math import atan, cos, degrees, pi, radians, sin, sqrt

from tests.validation.worked_example.rounding import down, up

DRIVESHAFTS = [
    # slope of the lifted shaft less that of the gearbox flange
    (
        "front propshaft angle",
        "deg",
        up(degrees(atan((620 * sin(radians(9)) + 35) / (620 * cos(radians(9))))) - 3, 0.5),
        9.5,
    ),
    (
        "rear propshaft angle",
        "deg",
        up(degrees(atan((940 * sin(radians(7)) + 40) / (940 * cos(radians(7))))) - 2, 0.5),
        7.5,
    ),
    (
        "front propshaft length",
        "mm",
        up(sqrt((620 * cos(radians(9))) ** 2 + (620 * sin(radians(9)) + 35) ** 2), 2),
        628,
    ),
    (
        "rear propshaft length",
        "mm",
        up(sqrt((940 * cos(radians(7))) ** 2 + (940 * sin(radians(7)) + 40) ** 2), 2),
        946,
    ),
    # Along the level 612.367 and 932.993, down 96.989 and 114.557 as measured; down again by where
    # the axles stand: 11.989 and 19.557 on the stops, 211.989 and 253.504 hanging.
    ("longest front propshaft at full bump", "mm", up(sqrt(612.367**2 + 11.989**2), 1), 613),
    ("longest rear propshaft at full bump", "mm", up(sqrt(932.993**2 + 19.557**2), 1), 934),
    ("longest front propshaft at full droop", "mm", up(sqrt(612.367**2 + 211.989**2), 1), 649),
    ("longest rear propshaft at full droop", "mm", up(sqrt(932.993**2 + 253.504**2), 1), 967),
    ("shortest front propshaft at full bump", "mm", down(sqrt(612.367**2 + 11.989**2), 1), 612),
    ("shortest rear propshaft at full bump", "mm", down(sqrt(932.993**2 + 19.557**2), 1), 933),
    # slopes 1.1216, 19.0946, 1.2009 and 15.2016 degrees, less 3 and 2 of the gearbox flanges
    ("front propshaft angle at full bump", "deg", up(3 - degrees(atan(11.989 / 612.367)), 0.5), 2),
    ("rear propshaft angle at full bump", "deg", up(2 - degrees(atan(19.557 / 932.993)), 0.5), 1),
    (
        "front propshaft angle at full droop",
        "deg",
        up(degrees(atan(211.989 / 612.367)) - 3, 0.5),
        16.5,
    ),
    (
        "rear propshaft angle at full droop",
        "deg",
        up(degrees(atan(253.504 / 932.993)) - 2, 0.5),
        13.5,
    ),
    # no arms, plates or wedges
    ("front pinion turned up", "deg", 0, 0),
    ("rear pinion turned up", "deg", 0, 0),
    # The pinions stood at 3 and 2 degrees and turn up as the axles drop: 35 / 8000 and 40 / 5000
    # are 0.2507 and 0.4584 degrees, -85 and 115 / 8000 are -0.6087 and 0.8236, -95 and 138.947 /
    # 5000 are -1.0885 and 1.5918. Slopes with the lift 12.1630 and 9.4060.
    ("front propshaft angle at the axle", "deg", up(12.1630 - 3.2507, 0.5), 9),
    ("rear propshaft angle at the axle", "deg", up(9.4060 - 2.4584, 0.5), 7),
    ("front propshaft angle at the axle at full bump", "deg", up(2.3913 - 1.1216, 0.5), 1.5),
    ("rear propshaft angle at the axle at full bump", "deg", up(1.2009 - 0.9115, 0.5), 0.5),
    ("front propshaft angle at the axle at full droop", "deg", up(19.0946 - 3.8236, 0.5), 15.5),
    ("rear propshaft angle at the axle at full droop", "deg", up(15.2016 - 3.5918, 0.5), 12),
    # what two joints of 9.163 and 8.912, 7.406 and 6.948 degrees do not cancel
    ("front residual joint angle", "deg", up(sqrt(9.1630**2 - 8.9123**2), 0.2), 2.2),
    ("rear residual joint angle", "deg", up(sqrt(7.4060**2 - 6.9476**2), 0.2), 2.6),
    # 20 rad/s over 2 pi x 100 km/h / 0.5305 m: 3.48 degrees, no more than 3
    (
        "front residual joint angle permitted",
        "deg",
        down(min(3, degrees(20 / (2 * pi * 27.77778 / 0.5305))), 0.1),
        3,
    ),
    (
        "rear residual joint angle permitted",
        "deg",
        down(min(3, degrees(20 / (2 * pi * 27.77778 / 0.5305))), 0.1),
        3,
    ),
    # (2 pi x 100 km/h / 0.5305 m)^2 x angle^2
    (
        "uneven running of the front propshaft",
        "rad/s**2",
        up((2 * pi * 27.77778 / 0.5305 * radians(2.2)) ** 2, 10),
        160,
    ),
    (
        "uneven running of the rear propshaft",
        "rad/s**2",
        up((2 * pi * 27.77778 / 0.5305 * radians(2.6)) ** 2, 10),
        230,
    ),
    # 160 km/h = 2666.667 m/min over the way per turn
    ("front propshaft speed", "rpm", up(2666.6667 / 0.5305, 20), 5040),
    ("rear propshaft speed", "rpm", up(2666.6667 / 0.5305, 20), 5040),
    # 0.75 x 7.5 pi sqrt(E/rho) sqrt(D2 + d2) / L2, in m; sqrt(206e9/7850) = 5122.7 m/s
    (
        "front propshaft speed limit",
        "rpm",
        down(0.75 * 7.5 * pi * 5122.7 * sqrt(0.054**2 + 0.049**2) / 0.628**2, 20),
        16720,
    ),
    (
        "rear propshaft speed limit",
        "rpm",
        down(0.75 * 7.5 * pi * 5122.7 * sqrt(0.070**2 + 0.066**2) / 0.946**2, 20),
        9720,
    ),
]

HOSES = [
    # the hubs hold the calipers 60 lower, in steps of 5; the wheel faces stand 52 and 42 further
    # out
    ("front brake hose end down", "mm", up(60 - 0, 5), 60),
    ("rear brake hose end down", "mm", up(60 - 0, 5), 60),
    ("front brake hose end outboard", "mm", 52, 52),
    ("rear brake hose end outboard", "mm", 42 - 0, 42),
    # The hanging wheel of the twisted axle goes 115 and 138.947 down, and further by travel between
    # stop and shock times (track less spacing) over twice the spacing, less what that was: 185 and
    # 205 at tracks of 1570. Stops are no shorter, tracks 104 and 84 wider.
    (
        "front wheel drop in twist",
        "mm",
        up(
            115
            + (115 + 95) * (1570 + 104 - 720) / (2 * 720)
            - (90 + 95) * (1570 - 720) / (2 * 720),
            10,
        ),
        150,
    ),
    (
        "rear wheel drop in twist",
        "mm",
        up(
            138.947
            + (138.947 + 105) * (1570 + 84 - 780) / (2 * 780)
            - (100 + 105) * (1570 - 780) / (2 * 780),
            10,
        ),
        180,
    ),
    # Axles are solid: a wheel hangs lowest in twist, and so do the calipers that the hoses end at.
    ("front wheel drop", "mm", 150, 150),
    ("rear wheel drop", "mm", 180, 180),
    ("front brake hose end drop", "mm", 150, 150),
    ("rear brake hose end drop", "mm", 180, 180),
    # 320 long, 192 of it down, so 256 along the level: 150 + 60 further down, 52 further out
    (
        "front brake hose length needed",
        "mm",
        up(sqrt((192 + 150 + 60) ** 2 + (256 + 52) ** 2), 5),
        510,
    ),
    # 300 long, 180 down, 144 out, so 192 along the vehicle: 180 + 60 down, 42 out
    (
        "rear brake hose length needed",
        "mm",
        up(sqrt((180 + 180 + 60) ** 2 + (144 + 42) ** 2 + 192**2), 5),
        500,
    ),
]
