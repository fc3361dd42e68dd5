"""What the documents for the shop's own people say: build sheet and order list.

Whole sentences with named values, British English the source; see `document_templates`.
"""

# -- build sheet ----------------------------------------------------------------------------------

BEFORE_ALL = "Before anything else"
LOCAL_CODES = (
    "The makers' fitting instructions and local codes come first. Work on brakes, steering and "
    "axles is for licensed people; what is done wrong there kills."
)
EACH_VEHICLE = "One sheet for each of the {number} vehicles."
WORKING_TIME = "Working time {hours} hours"
REASONS = "Why one part needs another"
NO_REASONS = "Not worked out for this sheet; fitwright build-sheet --reasons does."
POSITION, PART, NUMBER, PIECES = "Position", "Part", "Number", "Pieces"
WAIT, THERE = "Wait", "There"
PARTS_THERE, PARTS_SHORT = "Parts that must be there", "Parts"
STEP, OPERATION, STATION = "No.", "Operation", "Where"
NEEDS, HOURS_HEADING, DONE = "Parts and consumables", "Hours", "Done"
WORK_HEADING = "Work"
SEQUENCE = "In an order that works: nothing waits for a later step."
NO_WORK = "No work: nothing is changed, or no operation is known for it."
FRONT, REAR = "front", "rear"
TORQUES, TORQUE, AGAIN_AFTER, FROM = "Tightening torques", "Torque", "Again after", "From"
ONLY_GIVEN = (
    "Only torques that a maker or the vehicle's record gives stand here; no other may be used."
)
TORQUE_NOT_GIVEN = "not given: ask the maker"
FROM_VEHICLE = "vehicle: {place}"
FROM_CATALOG = "catalog {catalog}: {place}"
INSPECTIONS, INSPECT, REASON, BY = "Inspections", "Inspect", "Because", "By"
GOALS = "Goals of the customer"
TO_MEASURE, FIGURE, PROMISED = "To be measured when finished", "Figure", "Promised"
SHOULD_BE, HOW, MEASURED = "Measured should be", "How", "Measured"
FROM_TO = "{low} to {high}"
TOLERANCES = (
    "Tolerances are common practice, no source. Promised figures are rounded to the safe side. "
    "Enter the values in the as-built check on the page, or with 'fitwright as-built'; both "
    "compare them and name the likely cause."
)
SIGNED, DONE_BY, CHECKED_BY, DATE_HEADING = "Signed", "Done by", "Checked by", "Date"

# -- why one part needs another -------------------------------------------------------------------

NEEDED_BY = "{part}; needed by the new {sources}."
NEEDED_BY_WHY = "{part}; needed by the new {sources}. Why: {reasons}."
NEEDED_BY_GOALS = "{part}; needed by what was asked for."
NEEDED_BY_GOALS_WHY = "{part}; needed by what was asked for. Why: {reasons}."
PART_WITH = "{part}, with {properties}"
PROPERTY_AT_LEAST = "{property} at least {value}"
PROPERTY_AT_MOST = "{property} at most {value}"
TWO = "{first} and {last}"
REASON_AT_LEAST = "{reason} ({has} at best without it, minimum {needs})"
REASON_AT_MOST = "{reason} ({has} at best without it, maximum {needs})"

# -- order list -----------------------------------------------------------------------------------

UNKNOWN_MAKER = "Maker not known"
BROUGHT = "Brought by the customer, not ordered: {parts}"
NEEDED_ON = "Parts needed by {date}"
ORDER_PRICES = (
    "Prices are those of the catalogs, tax included; the makers' own come first. Delivery times "
    "are taken as calendar days."
)
PRICE_NOTES, PRICES_SHORT = "Notes on prices", "Prices"
ALL_MAKERS, MAKER, ORDER_TOTAL = "All makers", "Maker", "Total"
DELIVERY_TIME, DELIVERY_SHORT = "Delivery time", "Delivery"
NOTHING_TO_ORDER = "Nothing to order."
SHELF_HEADING, NEEDED, SHELF = "From the shelf", "Needed", "Shelf"
TO_ORDER, ACCORDING_TO, TAKEN = "Order", "According to", "Taken"
FROM_SHELF = "Taken from the shop's own shelf, so not in the orders below."
HERE_BY, ORDER_BY, SENT = "Here by", "Order by", "Sent"
LATE = "(late)"
