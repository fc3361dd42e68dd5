"""What is weighed, masses and loads."""

from __future__ import annotations

from math import pi, sqrt

from tests.validation.worked_example.rounding import down, near, up

# -- What is weighed ------------------------------------------------------------------------------
# Position: pieces, mass of one piece [kg] after and before, share of it that the rear axle carries
# (distance behind the front axle over the wheelbase), pieces below the front and the rear springs.
# Of five wheels four stand in the middle on average and the spare 1.2 wheelbases back:
# (4 x 0.5 + 1.2) / 5 = 0.64. Front body -0.15, rear body 1.2, else the middle: 0.5.
WEIGHED = {
    "tyres": (5, 23.6, 16.4, 0.64, 2, 2),
    "wheels": (5, 11.5, 11.0, 0.64, 2, 2),
    "wheel nuts": (1, 1.4, 1.3, 0.5, 0.5, 0.5),
    "front axle": (1, 122, 118, 0, 1, 0),
    "front crown wheel and pinion": (1, 14.5, 14, 0, 1, 0),
    "rear crown wheel and pinion": (1, 16.5, 16, 1, 0, 1),
    "front hub reductions": (2, 27, 0, 0, 2, 0),
    "rear hub reductions": (2, 24, 0, 1, 0, 2),
    "front half-shafts": (1, 18, 17, 0, 1, 0),
    "rear half-shafts": (1, 20.5, 19, 1, 0, 1),
    "rear diff lock": (1, 11, 0, 1, 0, 1),
    "compressor": (1, 6, 0, -0.15, 0, 0),
    "front brakes": (2, 18, 15.8, 0, 2, 0),
    "master cylinder": (1, 2.1, 2.0, -0.15, 0, 0),
    "track rod": (1, 7, 4.2, 0, 1, 0),
    "drag link": (1, 4.2, 2.7, 0, 1, 0),
    "steering damper": (1, 2, 1.4, 0, 1, 0),
    "front springs": (2, 6.8, 6.0, 0, 0, 0),
    "rear springs": (2, 7.5, 6.5, 1, 0, 0),
    "front shocks": (2, 2.9, 2.4, 0, 0, 0),
    "rear shocks": (2, 3.0, 2.5, 1, 0, 0),
    "front bump stops": (2, 0.6, 0.4, 0, 0, 0),
    "rear bump stops": (2, 0.6, 0.4, 1, 0, 0),
    "front limit straps": (2, 0.6, 0, 0, 0, 0),
    "front propshaft": (1, 10.4, 8.2, 0.5, 0, 0),
    "rear propshaft": (1, 11, 10.6, 0.5, 0, 0),
    "front brake hoses": (1, 0.6, 0.5, 0.5, 0, 0),
    "rear brake hoses": (1, 0.6, 0.5, 0.5, 0, 0),
    "front Panhard rod": (1, 4.2, 3.1, 0, 1, 0),
    "rear Panhard rod": (1, 3.9, 3.1, 1, 0, 1),
    "front Panhard rod brace": (1, 5, 0, 0, 1, 0),
    "front reinforcement": (1, 13, 0, 0, 1, 0),
    "rear reinforcement": (1, 7, 0, 1, 0, 1),
    "front diff guard": (1, 5, 0, 0, 1, 0),
    "rear diff guard": (1, 4, 0, 1, 0, 1),
    "front hub reduction guards": (2, 1.7, 0, 0, 2, 0),
    "rear hub reduction guards": (2, 1.7, 0, 1, 0, 2),
    "front link guards": (2, 1.8, 0, 0, 2, 0),
    "sill guards": (2, 20, 0, 0.5, 0, 0),
    "steps": (2, 9, 0, 0.5, 0, 0),
    "front arch trimming": (1, 0.5, 0, -0.15, 0, 0),
    "front arch extensions": (2, 0.6, 0, -0.15, 0, 0),
    "rear arch extensions": (2, 0.6, 0, 1.2, 0, 0),
    "spare carrier": (1, 10, 0, 1.2, 0, 0),
    "speedometer calibration": (1, 0.1, 0, 0.5, 0, 0),
    "front sensor leads": (2, 0.2, 0, 0, 2, 0),
    "rear sensor leads": (2, 0.2, 0, 1, 0, 2),
}

added = sum(n * (m - m0) for n, m, m0, _, _, _ in WEIGHED.values())

added_rear = sum(n * (m - m0) * rear for n, m, m0, rear, _, _ in WEIGHED.values())

added_below_front = sum(k * (m - m0) for _, m, m0, _, k, _ in WEIGHED.values())

added_below_rear = sum(k * (m - m0) for _, m, m0, _, _, k in WEIGHED.values())

MASSES = [
    ("vehicle mass", "kg", 2450 + added, 2753.0),
    ("payload left", "kg", 880 - added, 577.0),
    ("mass that the plate permits", "kg", 3050, 3050),
    ("load still allowed", "kg", 3050 - 2753, 297.0),
    # empty it weighs 3050 - 880
    ("load on board on the scale", "kg", down(2450 - (3050 - 880), 1), 280),
    ("load that the job carries", "kg", 250, 250),
    ("rear axle load", "kg", 1270 + added_rear, 1417.41),
    ("front axle load", "kg", 1180 + added - added_rear, 1335.59),
    # the same, held against less where the job asks for a trailer or a roof load
    ("vehicle mass beside hitch and roof", "kg", 2753.0, 2753.0),
    ("front axle load beside hitch and roof", "kg", 1335.59, 1335.59),
    ("rear axle load beside hitch and roof", "kg", 1417.41, 1417.41),
    ("front mass below the springs", "kg", 265 + added_below_front, 380.75),
    ("rear mass below the springs", "kg", 270 + added_below_rear, 362.05),
    ("mass below the springs", "kg", 380.75 + 362.05, 742.8),
    # what the axle carries more, less what lies below the springs, half of it on each spring
    (
        "front spring load",
        "N",
        up(4500 + ((1335.59 - 1180) - (380.75 - 265)) * 9.80665 / 2, 10),
        4700,
    ),
    (
        "rear spring load",
        "N",
        up(4800 + ((1417.41 - 1270) - (362.05 - 270)) * 9.80665 / 2, 10),
        5080,
    ),
    # 200 and 280 N more on springs of 27 and 30 N/mm
    ("front sag under what is fitted", "mm", up((4700 - 4500) / 27, 1), 8),
    ("rear sag under what is fitted", "mm", up((5080 - 4800) / 30, 1), 10),
    # sqrt((spring + tyre) / half the mass below the springs) / 2 pi
    ("front wheel hop", "Hz", near(sqrt((27000 + 298000) / (380.75 / 2)) / (2 * pi), 0.1), 6.6),
    ("rear wheel hop", "Hz", near(sqrt((30000 + 298000) / (362.05 / 2)) / (2 * pi), 0.1), 6.8),
]

LOADS = [
    # light truck tyres of 1450 kg at 5.5 bar; at 2.4 bar (2.4/5.5)^0.7 of that, two on an axle
    ("pressure of the load index", "bar", 5.5, 5.5),
    ("load of an axle's tyres at the job's pressure", "kg", down(2900 * 0.559621, 1), 1622),
    ("front tyre load reserve", "kg", 1622 - 1180, 442),
    ("rear tyre load reserve", "kg", 1622 - 1270, 352),
    # what they carry less the load with everything fitted
    ("load left on the front tyres", "kg", 2900 * (2.4 / 5.5) ** 0.7 - 1335.59, 287.311),
    ("load left on the rear tyres", "kg", 2900 * (2.4 / 5.5) ** 0.7 - 1417.41, 205.491),
    ("load left on the front tyres for hitch and roof", "kg", 287.311, 287.311),
    ("load left on the rear tyres for hitch and roof", "kg", 205.491, 205.491),
    # turned round: 5.5 bar times (permitted load / 2900 kg)^(1/0.7)
    ("front tyre pressure fully laden", "bar", up(5.5 * (1400 / 2900) ** (1 / 0.7), 0.1), 2),
    ("rear tyre pressure fully laden", "bar", up(5.5 * (1780 / 2900) ** (1 / 0.7), 0.1), 2.8),
    # the hub reductions bring their own bearings
    ("front bearing behind the wheel face", "mm", 60, 60),
    ("rear bearing behind the wheel face", "mm", 60, 60),
    # load on the wheel times (lever + 0.7 of the radius); lever: bearing less offset
    ("front wheel moment", "N*m", up(6864.655 * (0.060 - 0.025 + 0.7 * 0.420), 50), 2300),
    ("rear wheel moment", "N*m", up(8727.919 * (0.060 - 0.025 + 0.7 * 0.420), 50), 2900),
    ("front wheel moment permitted", "N*m", 2700, 2700),
    ("rear wheel moment permitted", "N*m", 3100, 3100),
    # at the mounting face the lever is the offset
    ("front wheel face moment", "N*m", up(6864.655 * (0.025 + 0.7 * 0.420), 50), 2200),
    ("rear wheel face moment", "N*m", up(8727.919 * (0.025 + 0.7 * 0.420), 50), 2800),
    # 110 N m over 0.20 x 12 mm
    ("stud preload", "kN", down(110 / (0.20 * 12), 0.5), 45.5),
    # light as weighed, and what everything fitted adds to the axle
    ("front axle load lightly laden", "kg", near(1145 + 1335.59 - 1180, 0.1), 1300.6),
    ("rear axle load lightly laden", "kg", near(1205 + 1417.41 - 1270, 0.1), 1352.4),
    # (way to the rear axle + z h) / L, the centre of gravity 816 - 720 = 96 mm higher than at 710
    (
        "ideal front share of braking lightly laden",
        "%",
        up((2810 * 1300.6 / 2653 + 0.80048 * (710 + 96)) / 2810 * 100, 0.1),
        72,
    ),
    # 1400 of 3050 kg in front
    (
        "ideal front share of braking fully laden",
        "%",
        up((2810 * 1400 / 3050 + 0.80048 * 816) / 2810 * 100, 0.1),
        69.2,
    ),
]
