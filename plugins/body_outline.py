"""Where bonnet, windscreen, roof and tail are: what a drawing of the vehicle is made from."""

from configurator.plugin import Measure

overhang = Measure(
    "{axle} overhang",
    "From the centre of the {axle} wheel to the {axle} end of the body, bumper included.",
    "tape along the ground, plumb line at both ends",
    unit="mm",
    at_least=150.0,
    at_most=2000.0,
)
nose_height = Measure(
    "bonnet front height",
    "Height above the ground of the front edge of the bonnet.",
    "tape, as it stands",
    unit="mm",
    at_least=500.0,
    at_most=1800.0,
)
cowl_height = Measure(
    "windscreen foot height",
    "Height above the ground of the lower edge of the windscreen, in the middle.",
    "tape, as it stands",
    unit="mm",
    at_least=700.0,
    at_most=2200.0,
)
cowl_distance = Measure(
    "windscreen foot distance",
    "How far the lower edge of the windscreen lies behind the centre of the front wheel.",
    "tape along the ground, plumb line at both ends",
    unit="mm",
    at_least=-600.0,
    at_most=1500.0,
)
roof_front = Measure(
    "windscreen top distance",
    "How far the upper edge of the windscreen lies behind the centre of the front wheel.",
    "tape along the ground, plumb line at both ends",
    unit="mm",
    at_least=-500.0,
    at_most=2200.0,
)
roof_height = Measure(
    "roof height",
    "Height above the ground of the highest point of the roof, racks left out.",
    "tape and a board across the roof, as it stands",
    unit="mm",
    at_least=1200.0,
    at_most=3200.0,
)
roof_width = Measure(
    "roof width",
    "Width of the roof over the doors, gutters included.",
    "tape",
    unit="mm",
    at_least=700.0,
    at_most=2400.0,
)
waist_height = Measure(
    "window lower edge height",
    "Height above the ground of the lower edge of the side windows.",
    "tape, as it stands",
    unit="mm",
    at_least=700.0,
    at_most=2200.0,
)
cab_length = Measure(
    "cab end distance",
    "How far the rear wall of the cab lies behind the centre of the front wheel; left out for a "
    "body that is closed to its end.",
    "tape along the ground, plumb line at both ends",
    unit="mm",
    at_least=300.0,
    at_most=4000.0,
)
bed_height = Measure(
    "load bed side height",
    "Height above the ground of the upper edge of the load bed; left out where there is none.",
    "tape, as it stands",
    unit="mm",
    at_least=500.0,
    at_most=2200.0,
)
