"""Work on the brakes: fitted once hubs and axles are in their place, then bled, then measured."""

from configurator.plugin import operation, part


@operation(
    "fit the {axle} brakes",
    hours=2.0,
    station="axle bay",
    after=("fit the {axle} hub reductions", "exchange the {axle} axle assembly"),
    uses={"brake cleaner": 1.0},
    system="Brakes",
)
def fit_brakes(changed: bool = part("{axle} brakes", "changed")):
    return changed


@operation("exchange the master cylinder", hours=1.2, station="lift", system="Brakes")
def exchange_master_cylinder(changed: bool = part("master cylinder", "changed")):
    return changed


@operation(
    "fit and bleed the {axle} brake hoses",
    hours=0.9,
    station="lift",
    after=("fit the {axle} brakes", "exchange the {axle} axle assembly"),
    uses={"brake cleaner": 0.5, "brake fluid": 0.5},
    system="Brakes",
)
def fit_brake_hoses(changed: bool = part("{axle} brake hoses", "changed")):
    return changed


@operation(
    "bleed the {axle} brakes",
    hours=0.5,
    station="lift",
    after=(
        "fit the {axle} brakes",
        "fit and bleed the {axle} brake hoses",
        "exchange the master cylinder",
    ),
    uses={"brake fluid": 0.8},
    check=True,
    system="Setting up and checks",
)
def bleed_brakes(
    brakes: bool = part("{axle} brakes", "changed"),
    master: bool = part("master cylinder", "changed"),
):
    return brakes or master


@operation(
    "bed in and measure the brakes",
    hours=0.8,
    station="brake tester",
    after=("bleed the front brakes", "bleed the rear brakes", "fit the wheels"),
    check=True,
    system="Setting up and checks",
)
def measure_brakes(
    front: bool = part("front brakes", "changed"),
    rear: bool = part("rear brakes", "changed"),
    master: bool = part("master cylinder", "changed"),
):
    return front or rear or master
