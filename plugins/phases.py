"""The phases of the work, in the order that a workshop keeps.

Welding before the gears, gears before the shafts, hubs before the brakes, wheels before the
alignment, the road last. A plugin may put a phase of its own between two of these.
"""

from configurator.plugin import Phase

bench = Phase("bench", "Done on the bench while the vehicle stands: tyres mounted, shafts cut.")
taking_apart = Phase("taking apart", "What is in the way comes off the axles.")
welding = Phase("welding", "Steel is joined to housings.", after=("taking apart",))
gears = Phase("gears", "Locks are built in, ring gears set up.", after=("welding",))
axles = Phase("axles", "Housings are exchanged and stiffened.", after=("gears",))
chassis = Phase(
    "chassis", "Springs, absorbers, links and propshafts, the axle let down.", after=("axles",)
)
shafts = Phase("half-shafts", "Half-shafts go in.", after=("axles", "bench"))
hubs = Phase("hubs", "Hub reductions are bolted on and filled.", after=("half-shafts",))
brakes = Phase("brakes", "Brakes are bolted on, leads and hoses laid.", after=("hubs", "chassis"))
hydraulics = Phase("hydraulics", "Master cylinder and booster.", before=("bleeding",))
bleeding = Phase("bleeding", "Brakes are bled.", after=("brakes",))
steering = Phase("steering", "Rods and damper.", after=("hubs", "chassis"))
guards = Phase("guards", "What protects axles and hubs.", after=("hubs", "chassis"))
arches = Phase("arches", "Arches are folded, cut and sealed.")
body = Phase("body", "What is bolted to the body.", after=("arches",))
wheels = Phase("wheels", "Wheels go on.", after=("brakes", "guards", "arches", "bench"))
brake_test = Phase("brake test", "Brakes are measured.", after=("bleeding", "wheels"))
alignment = Phase("alignment", "Axles and lamps are set.", after=("wheels", "steering", "body"))
calibration = Phase("calibration", "Instruments and sensors are set.", after=("alignment",))
road = Phase("road", "Driven and looked over.", after=("brake test", "calibration"))
handing_over = Phase("after the first drive", "What settles is tightened again.", after=("road",))
