"""The vehicle as it stands; tyres, wheels, gearing and torque."""

from __future__ import annotations

from math import asin, atan, pi, radians, sqrt, tan

from tests.validation.worked_example.rounding import down, near, up

# -- The vehicle as it stands, as far as the package is held against it: figure, unit, result ------
# Stiffness 0.00028 p sqrt(0.75 w D) + 3.45 kgf/mm at 240 kPa: (31.96 kgf/mm) 293.2 N/mm for
# 272 x 776. Half the axle load on each wheel: 1180 kg are 5786 N, 1270 kg are 6227 N.
k_before = (0.00028 * 240 * sqrt(0.75 * 272 * 776) + 3.45) * 9.80665

BEFORE = [
    ("front static radius", "mm", down(776 / 2 - 5786 / k_before, 2), 368),
    ("rear static radius", "mm", down(776 / 2 - 6227 / k_before, 2), 366),
    ("front axle height", "mm", 368 + 0, 368),
    ("rear axle height", "mm", 366 + 0, 366),
    ("rolling circumference", "mm", near(3.05 * 776, 1), 2367),
    ("rear distance per propshaft turn", "mm", near(2367 / 4.1, 0.5), 577.5),
    ("kingpin to tyre centreline", "mm", 88 - 20, 68),
    ("scrub radius", "mm", near(68 - 368 * tan(radians(9)), 2), 10),
    ("tyre diameter", "mm", up(776, 5), 780),
    ("rut lever", "mm", up(sqrt(150 * (780 - 150)), 2), 308),
    # 0.7 x 6864.7 N (half of 1400 kg) on sqrt(b2/8 + scrub2), and on the lever of the rut [m]
    (
        "steering torque",
        "N*m",
        up(0.7 * 6864.655 * (sqrt(0.272**2 / 8 + 0.010**2) + 0.308), 10),
        1950,
    ),
    ("steering link load", "N", up(1950 / 0.170, 500), 11500),
]

# -- With the package: figure, unit, arithmetic, result --------------------------------------------
TYRES_AND_WHEELS = [
    ("tyre diameter", "mm", up(838, 5), 840),
    # S + 0.4 (rim width - measuring rim width), inches into mm
    ("section width on the rim", "mm", up(255 + 0.4 * (7.5 - 7) * 25.4, 5), 265),
    ("rolling circumference", "mm", near(3.05 * 838, 1), 2556),
    # 0.00028 p sqrt(0.75 w D) + 3.45 kgf/mm, p = 2.4 bar = 240 kPa
    (
        "tyre stiffness",
        "N/mm",
        near((0.00028 * 240 * sqrt(0.75 * 255 * 838) + 3.45) * 9.80665, 1),
        298,
    ),
    # D/2 - F/k with 297.6 N/mm before rounding; 5786 N and 6227 N as above
    ("front static radius", "mm", down(838 / 2 - 5786 / 297.6, 2), 398),
    ("rear static radius", "mm", down(838 / 2 - 6227 / 297.6, 2), 398),
    ("tyre mass", "kg", up(23.6, 1), 24),
    ("wheel mass", "kg", up(11.5, 1), 12),
    ("largest tyre as a spare", "mm", 860, 860),
    ("heaviest wheel as a spare", "kg", 45, 45),
    # The wheels find the hub reductions' studs.
    ("front PCD", "mm", 139.7, 139.7),
    ("rear PCD", "mm", 139.7, 139.7),
    ("front studs", "", 6, 6),
    ("rear studs", "", 6, 6),
    ("front hub register", "mm", 108, 108),
    ("rear hub register", "mm", 108, 108),
    ("front stud length", "mm", 38, 38),
    ("rear stud length", "mm", 38, 38),
]

GEARING = [
    # final drive x hub
    ("front overall drive ratio", "", near(4.30 * 1.12, 0.001), 4.816),
    ("rear overall drive ratio", "", near(4.30 * 1.12, 0.001), 4.816),
    ("overall drive ratio", "", 4.816, 4.816),
    ("front distance per propshaft turn", "mm", near(2556 / 4.816, 0.5), 530.5),
    ("rear distance per propshaft turn", "mm", near(2556 / 4.816, 0.5), 530.5),
    # 100 km/h = 1666.667 m/min over the way per turn, times top gear and high range
    ("engine speed at cruise", "rpm", near(1666.6667 / 0.5305 * 0.76 * 1.0, 10), 2390),
    # the slower of 4500 rpm and the tyre's R = 170 km/h; 100 km/h x 4500/2390 = 188
    ("top speed by gearing", "km/h", down(min(100 * 4500 / 2390, 170), 1), 170),
    # top gear x high range x overall drive ratio
    ("overall ratio in top gear", "", near(0.76 * 1.0 * 4.816, 0.001), 3.66),
    # first gear x low range x overall drive ratio
    ("crawl ratio", "", near(4.31 * 2.57 * 4.816, 0.01), 53.35),
    # idle over first gear and low range, times the way per turn; m/min into km/h
    ("walking speed", "km/h", near(750 / (4.31 * 2.57) * 0.5305 * 60 / 1000, 0.01), 2.16),
    ("propshaft torque", "N*m", 360 * 4.31 * 2.57, 3987.612),
    # the smaller of 0.85 T 2 pi / way = 40.1 kN and 0.6 m g = 14.4 kN
    (
        "tractive force",
        "kN",
        down(
            min(0.85 * 3987.612 * 2 * pi / 0.5305 / 1000, 0.6 * 2450 * 9.80665 / 1000),
            0.1,
        ),
        14.4,
    ),
    # grip ends the climb, the engine pulls more than the weight: tan = 0.6 - 0.04
    ("grade", "%", down((0.6 - 0.04) * 100, 1), 56),
    # The wheel as it was counted 577 mm to a turn; it read 3 % high.
    ("distance per turn of the counted propshaft", "mm", 530.5, 530.5),
    ("distance per turn at the speed pick-up", "mm", 530.5, 530.5),
    (
        "speedometer error without calibration",
        "%",
        down((1.03 * 577 / 530.5 - 1) * 100, 0.5),
        12,
    ),
    # can be set from 1.12 x 0.8 - 1 = -10.4 % to +12 %; set to 2 %
    ("speedometer error", "%", down(2, 0.5), 2),
    (
        "speedometer error without calibration, at most",
        "%",
        up((1.03 * 577 / 530.5 - 1) * 100, 0.5),
        12.5,
    ),
    ("speedometer error at most", "%", up(2, 0.5), 2),
    ("highest lawful speed shown", "km/h", 120 * 1.1 + 4, 136),
]

TORQUE = [
    # permitted axle load x g x D/2 / hub ratio, grip 1
    ("front grip torque", "N*m", up(1.0 * 1400 * 9.80665 * 0.420 / 1.12, 50), 5150),
    ("rear grip torque", "N*m", up(1.0 * 1780 * 9.80665 * 0.420 / 1.12, 50), 6550),
    # the smaller of engine (3987.6 x 4.30 = 17147) and grip
    ("front ring gear torque", "N*m", up(min(3987.612 * 4.30, 5150), 50), 5150),
    ("rear ring gear torque", "N*m", up(min(3987.612 * 4.30, 6550), 50), 6550),
    # 0.8 of the axle's grip on one wheel
    ("front half-shaft torque", "N*m", up(min(17147, 0.8 * 5150), 50), 4150),
    ("rear half-shaft torque", "N*m", up(min(17147, 0.8 * 6550), 50), 5250),
    ("front hub reduction torque", "N*m", up(4150 * 1.12, 50), 4650),
    ("rear hub reduction torque", "N*m", up(5250 * 1.12, 50), 5900),
    # 0.577 Sy pi d3 / 16, N mm into N m
    ("front half-shaft capacity", "N*m", down(0.577 * 1420 * pi * 33.2**3 / 16 / 1000, 10), 5880),
    ("rear half-shaft capacity", "N*m", down(0.577 * 1420 * pi * 35.5**3 / 16 / 1000, 10), 7190),
    # 160 km/h = 2666.667 m/min over the circumference, times the hub
    ("front half-shaft speed", "rpm", up(2666.6667 / 2.555 * 1.12, 10), 1170),
    ("rear half-shaft speed", "rpm", up(2666.6667 / 2.555 * 1.12, 10), 1170),
    ("front half-shaft length needed", "mm", 840 - 30, 810),
    ("rear half-shaft length needed", "mm", 850 - 30, 820),
    ("axles with a diff lock", "", 0 + 1, 1),
]

# -- The same package behind a weak engine of 80 N m: the engine counts now, not the grip ----------
WEAK_ENGINE = [
    ("propshaft torque", "N*m", 80 * 4.31 * 2.57, 886.136),
    # 886.136 x 4.30 = 3810 is less than the grip of either axle and than 0.8 of it on one wheel
    ("front ring gear torque", "N*m", up(min(886.136 * 4.30, 5150), 50), 3850),
    ("rear ring gear torque", "N*m", up(min(886.136 * 4.30, 6550), 50), 3850),
    ("front half-shaft torque", "N*m", up(min(886.136 * 4.30, 0.8 * 5150), 50), 3850),
    ("rear half-shaft torque", "N*m", up(min(886.136 * 4.30, 0.8 * 6550), 50), 3850),
    ("front hub reduction torque", "N*m", up(3850 * 1.12, 50), 4350),
    # 0.85 T 2 pi / way
    ("tractive force", "kN", down(0.85 * 886.136 * 2 * pi / 0.5305 / 1000, 0.1), 8.9),
    # F = m g (sin a + 0.04 cos a): a = asin(F / (m g sqrt(1 + 0.04^2))) - atan 0.04
    (
        "grade",
        "%",
        down(tan(asin(8921 / (2450 * 9.80665 * sqrt(1 + 0.04**2))) - atan(0.04)) * 100, 1),
        35,
    ),
]
