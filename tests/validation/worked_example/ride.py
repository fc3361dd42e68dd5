"""Springs, heights, widths and slopes."""

from __future__ import annotations

from math import asin, atan, cos, degrees, exp, pi, radians, sin, sqrt, tan

from tests.validation.worked_example.rounding import down, near, up

SPRINGS = [
    # free length less load over rate, after less before
    ("front spring lift", "mm", near((475 - 4500 / 27) - (455 - 4500 / 25), 5), 35),
    ("rear spring lift", "mm", near((490 - 4800 / 30) - (470 - 4800 / 27), 5), 40),
    # bump as measured + lift - taller stop
    ("front bump travel", "mm", down(95 + 35 - (50 - 40), 1), 120),
    ("rear bump travel", "mm", down(105 + 40 - (55 - 45), 1), 135),
    # shock absorber drawn out (over its motion ratio) or strap tight, whichever comes first
    ("front full droop", "mm", min((600 - 465) / 1.0, 495 - 380), 115),
    ("rear full droop", "mm", (612 - 480) / 0.95, 138.947),
    ("front droop", "mm", down(115 - 35, 1), 80),
    ("rear droop", "mm", down(138.947 - 40, 1), 98),
    # where the axles stand against the body, downwards: on stops that are 10 mm taller, hanging
    ("front axle drop at full bump", "mm", 50 - 40 - 95, -85),
    ("rear axle drop at full bump", "mm", 55 - 45 - 105, -95),
    ("front axle drop at full droop", "mm", 115, 115),
    ("rear axle drop at full droop", "mm", 138.947, 138.947),
    ("front differential drop at full bump", "mm", -85, -85),
    ("rear differential drop at full bump", "mm", -95, -95),
    ("front differential drop at full droop", "mm", 115, 115),
    ("rear differential drop at full droop", "mm", 138.947, 138.947),
    # One side on its stop, 10 mm lower; the other hangs lower by 115 - (555 - 465) and by
    # 138.947 - (575 - 480) / 0.95. The axle turns about its stop: a wheel half of (track - spring
    # spacing) further out goes up by that over the spacing. Tracks were 1570.
    ("front wheel rise in twist", "mm", -10 + (25 - 10) * (1570 - 720) / (2 * 720), -1.14583),
    ("rear wheel rise in twist", "mm", -10 + (37 / 0.95 - 10) * (1570 - 780) / (2 * 780), 4.65924),
    # a 10 mm taller stop, in front a tube that is 80 instead of 76.2: nothing nearer
    ("front tube rise at full bump", "mm", max(40 - 50 + (80 - 76.2) / 2, 0), 0),
    ("rear tube rise at full bump", "mm", max(45 - 55 + 0, 0), 0),
    # sqrt(k/m) / 2 pi; sprung mass 4500/g = 458.87 kg, 4800/g = 489.46 kg; k in N/m
    ("front ride frequency", "Hz", near(sqrt(27000 / 458.87) / (2 * pi), 0.01), 1.22),
    ("rear ride frequency", "Hz", near(sqrt(30000 / 489.46) / (2 * pi), 0.01), 1.25),
    # c / (2 sqrt(k m)); the rear shock absorber works through 0.95 squared
    ("front damping ratio", "", near(2700 / (2 * sqrt(27000 * 458.87)), 0.01), 0.38),
    ("rear damping ratio", "", near(2800 * 0.95**2 / (2 * sqrt(30000 * 489.46)), 0.01), 0.33),
]

HEIGHTS = [
    ("front axle height", "mm", down(398 + 60, 1), 458),
    ("rear axle height", "mm", down(398 + 60, 1), 458),
    # solid axles: springs leave the differential where it is and lift the body over it
    ("front differential lift", "mm", 0, 0),
    ("rear differential lift", "mm", 0, 0),
    ("front lift over the differential", "mm", 35, 35),
    ("rear lift over the differential", "mm", 40, 40),
    # as measured: the list of the half-shafts says nothing else
    ("front joint lift room", "mm", 60, 60),
    ("rear joint lift room", "mm", 55, 55),
    ("front depth below the axle line", "mm", 130 + 9, 139),
    ("rear depth below the axle line", "mm", 145 + 6, 151),
    ("clearance under front differential", "mm", down(458 + 0 - 139, 5), 315),
    ("clearance under rear differential", "mm", down(458 + 0 - 151, 5), 305),
    ("front depth below the wheel centre", "mm", 100 + 6, 106),
    ("rear depth below the wheel centre", "mm", 100 + 6, 106),
    ("clearance under front hub reduction", "mm", down(398 - 106, 5), 290),
    ("clearance under rear hub reduction", "mm", down(398 - 106, 5), 290),
    # the boxes hang 106 below the wheel centre, the differentials 79 and 91: the boxes are lowest
    ("front lowest point below the wheel centre", "mm", max(139 - 60, 106), 106),
    ("rear lowest point below the wheel centre", "mm", max(151 - 60, 106), 106),
    ("clearance under front axle", "mm", down(min(458 - 139, 398 - 106), 5), 290),
    ("clearance under rear axle", "mm", down(min(458 - 151, 398 - 106), 5), 290),
    # the tubes stand the drop of the hubs above the middle of the wheels
    ("front tube height", "mm", up(840 / 2 + 60, 20), 480),
    ("rear tube height", "mm", up(840 / 2 + 60, 20), 480),
    # the axle turns about a point 8 m away as the body rises by 35
    ("caster", "deg", down(3.5 - degrees(atan(35 / 8000)), 0.1), 3.2),
    # drop of the hub + spring lift; then what the tyre's radius adds
    ("front rise on springs and hub reductions", "mm", 60 + 35, 95),
    ("rear rise on springs and hub reductions", "mm", 60 + 40, 100),
    ("front body rise", "mm", 95 + 398 - 368, 125),
    ("rear body rise", "mm", 100 + 398 - 366, 132),
    ("rise on hub reductions", "mm", (60 + 60) / 2, 60),
    ("rise on springs", "mm", (35 + 40) / 2, 37.5),
    ("rise on hub reductions and springs", "mm", 60 + 37.5, 97.5),
    ("tilt on hub reductions", "mm", 60 - 60, 0),
    ("tilt on springs", "mm", 35 - 40, -5),
    ("rise on tyres", "mm", (398 - 368 + 398 - 366) / 2, 31),
    ("body rise", "mm", up(31 + 97.5, 1), 129),
    ("running clearance", "mm", down(262 + (125 + 132) / 2, 1), 390),
    ("door sill height", "mm", up(505 + 129, 1), 634),
    ("entry height", "mm", up(634 - 150, 5), 485),
    # the lower of step (90) and sill guard (40) counts
    ("clearance beside the sill", "mm", down(330 + 129 - 90, 1), 369),
    # lamps 560 ahead of the front axle on a body that tips by 7 in 2810
    ("headlamp rise", "mm", 125 + (125 - 132) * 560 / 2810, 123.605),
    ("headlamp lower edge height", "mm", down(790 + 123.605, 1), 913),
    ("headlamp upper edge height", "mm", up(930 + 123.605, 1), 1054),
    # atan(height over the wheel centre / distance) + asin(R / way from wheel centre to point)
    (
        "approach angle",
        "deg",
        down(degrees(atan(247 / 780) + asin(398 / sqrt(780**2 + 247**2))), 0.1),
        46.6,
    ),
    (
        "departure angle",
        "deg",
        down(degrees(atan(294 / 1010) + asin(398 / sqrt(1010**2 + 294**2))), 0.1),
        38.4,
    ),
    # both ways from the middle, 8 mm below the wheel centres
    (
        "breakover angle",
        "deg",
        down(2 * degrees(atan(-8 / 1405) + asin(398 / sqrt(1405**2 + 8**2))), 0.1),
        32.2,
    ),
]

UPRIGHT = [
    # (m h - masses below the springs x their heights) / mass above them, before the change
    (
        "sprung centre of gravity height",
        "mm",
        (2450 * 720 - 265 * 368 - 270 * 366) / (2450 - 265 - 270),
        818.621,
    ),
    ("axle moment", "kg*m", up((380.75 * 458 + 362.05 * 458) / 1000, 1), 341),
    # (mass above the springs x its new height + axle moment) / mass
    (
        "centre of gravity height",
        "mm",
        up(((2753.0 - 742.8) * (818.621 + 129) + 341 * 1000) / 2753.0, 1),
        816,
    ),
    # the tracks before they are rounded
    ("mean track", "mm", (1714 + 1694) / 2 - 2 * 25, 1654),
    ("static stability factor", "", down(1654 / 2 / 816, 0.01), 1.01),
    ("side slope that tips it", "deg", down(degrees(atan(1654 / 2 / 816)), 0.1), 45.3),
    ("centre of gravity behind front axle", "mm", near(2810 * 1417.41 / 2753.0, 1), 1447),
    ("uphill slope that tips it", "deg", down(degrees(atan((2810 - 1447) / 816)), 0.1), 59),
    ("downhill slope that tips it", "deg", down(degrees(atan(1447 / 816)), 0.1), 60.5),
]

WIDTHS = [
    # both hubs add 42; track = faces - 2 x offset 25
    ("front hub-face distance", "mm", 1630 + 2 * 42, 1714),
    ("rear hub-face distance", "mm", 1610 + 2 * 42, 1694),
    ("front wheel face outboard", "mm", (1714 - 1610) / 2, 52),
    ("rear wheel face outboard", "mm", (1694 - 1610) / 2, 42),
    ("front track", "mm", up(1714 - 2 * 25, 5), 1665),
    ("rear track", "mm", up(1694 - 2 * 25, 5), 1645),
    ("front width over tyres", "mm", up(1665 + 265, 1), 1930),
    ("rear width over tyres", "mm", up(1645 + 265, 1), 1910),
    ("tyre reach inboard", "mm", up(265 / 2 + 25, 1), 158),
    ("front tyre beyond the arch", "mm", up((1930 - 1850) / 2 - 20, 1), 20),
    ("rear tyre beyond the arch", "mm", up((1910 - 1850) / 2 - 20, 1), 10),
    # measured + drop + arch trimming + what the stop is taller
    ("front arch room", "mm", 430 + 60 + 15, 505),
    ("rear arch room", "mm", 440 + 60 + 0, 500),
    ("kingpin to tyre centreline", "mm", near(98 + 42 - 25, 1), 115),
    ("scrub radius", "mm", near(115 - 458 * tan(radians(9)), 2), 42),
    ("scrub radius change", "mm", 42 - 10, 32),
    # from the steering axis to the tyre's edges: 115 and half of 265 out, half of it less 115 in;
    # the first from the width over the tyres, rounded up, the second from the reach inboard
    ("front tyre outer edge", "mm", up(1930 / 2 - (1630 / 2 - 98), 5), 250),
    ("front tyre inner edge", "mm", up(158 - 98 - 42, 10), 20),
    # steered by a, the outer edge comes R cos a + e sin a ahead: most where tan a = e / R, 30.8
    # degrees, before the lock of 36; the inner edge R sin a + e cos a inboard, most at the lock
    ("front tyre reach to full lock", "mm", up(sqrt(420**2 + 250**2), 5), 490),
    (
        "tyre reach inboard at full lock",
        "mm",
        up(420 * sin(radians(36)) + 20 * cos(radians(36)), 10),
        270,
    ),
    # 2 (L / sin lock + scrub + half a tyre), mm into m
    (
        "turning circle",
        "m",
        up(2 * (2810 / sin(radians(30.5)) + 42 + 265 / 2) / 1000, 0.01),
        11.43,
    ),
]

SLOPES = [
    # the plate's mass; no trailer is asked for
    ("trailer without brakes", "kg", 0, 0),
    ("mass that the vehicle's brakes stop", "kg", 3050 + 0, 3050),
    # m g v (sin a - f cos a), tan a = 0.06, 30 km/h, f = 0.015; kW
    (
        "power of the long descent",
        "kW",
        3050 * 9.80665 * (30 / 3.6) * (sin(atan(0.06)) - 0.015 * cos(atan(0.06))) / 1000,
        11.19622,
    ),
    # P t / C (1 - exp(-720 s / 400 s)), C = 2 rotors x 460 J/kgK; 6 km at 30 km/h are 720 s;
    # in front 79.51 % of the heat as in a hard stop, behind 26.62 of 26.62 + 67.16 N m a bar: held
    # gently, the valve is open
    (
        "front rotor temperature rise on a long descent",
        "kelvin",
        up(0.79514 * 11196.22 * 400 / (2 * 8.6 * 460) * (1 - exp(-720 / 400)), 5),
        380,
    ),
    (
        "rear rotor temperature rise on a long descent",
        "kelvin",
        up(0.28386 * 11196.22 * 400 / (2 * 4.6 * 460) * (1 - exp(-720 / 400)), 5),
        255,
    ),
    # drag 150 kPa x 2.8 l / 4 pi = 33.42 N m, through 4.31 x 2.57, over the way per turn
    (
        "descent that the engine holds",
        "%",
        down(
            tan(asin(33.4225 * 4.31 * 2.57 * 2 * pi / 0.5305 / (3050 * 9.80665))) * 100,
            1,
        ),
        14,
    ),
    # two rear brakes of 1400 N m
    ("parking brake torque", "N*m", 2 * 1400, 2800),
    # sin a = torque over radius over weight
    (
        "grade that the parking brake holds",
        "%",
        down(tan(asin(2800 / (0.420 * 3050 * 9.80665))) * 100, 0.5),
        22.5,
    ),
    # nothing asked of hitch and roof; rounded up to 0.1 kg
    ("nose weight on the ball", "kg", 0, 0),
    ("front axle load from hitch and roof", "kg", 0, 0),
    ("rear axle load from hitch and roof", "kg", 0, 0),
    ("vehicle mass with hitch and roof", "kg", up(2753.0, 0.1), 2753.0),
    ("front axle load with hitch and roof", "kg", up(1335.59, 0.1), 1335.6),
    ("rear axle load with hitch and roof", "kg", up(1417.41, 0.1), 1417.5),
    ("spare on the roof", "kg", 0, 0),
    ("centre of gravity height with the roof load", "mm", 816, 816),
    # at the permitted mass, all that the front axle may carry on it
    (
        "ideal front share of braking with the roof load",
        "%",
        up((2810 * 1400 / 3050 + 0.80048 * 816) / 2810 * 100, 0.1),
        69.2,
    ),
]
