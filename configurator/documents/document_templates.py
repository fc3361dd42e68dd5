"""What the documents say: whole sentences with named values, to be translated.

British English is the source. ``translations/<language>.po`` beside this file has the others.
"""

from configurator.wording.sentences import NOTICE as NOTICE  # says the same everywhere

# -- every document -------------------------------------------------------------------------------

QUOTATION, BUILD_SHEET, HANDOVER, ORDER = "Quotation", "Build sheet", "Handover", "Order"
VEHICLE = "Vehicle: {vehicle}"
REGISTRATION = "Registration: {registration}"
VIN = "Vehicle identification number: {vin}"
MILEAGE = "Mileage: {mileage}"
YOUR_REFERENCE = "Your reference: {reference}"
TAX_NUMBER = "Tax number: {number}"
DATE = "Date: {date}"
VALID_UNTIL = "Date: {date}, valid until {valid}"
DELIVERY = "All parts in {days} after the order; the work comes on top"
DELIVERY_PARTLY = (
    "All parts in {days} after the order, not known for {parts}; the work comes on top"
)
DELIVERY_UNKNOWN = "Delivery time not known for {parts}"
DAY, DAYS = "{days} day", "{days} days"
HOUR, HOURS = "{hours} hour", "{hours} hours"
NOT_KNOWN = "not known"
IDENTICAL = "For {number} identical vehicles"
REMOVED = "{part}: removed"
REMOVED_ONLY = "removed"
DRAWINGS = "Before and after"
NOT_TRANSLATED = (
    "{missing} of {asked} texts of this document are in English: nobody has translated them yet."
)
SIGN = "Signature"
PLACE_DATE = "Place, date"

# -- quotation ------------------------------------------------------------------------------------

PRICE_HEADING = "Price"
AMOUNT, PRICE = "Amount", "Price"
PARTS, WORK = "Parts", "Work and consumables"
DISCOUNT = "Discount {share} %"
ROUNDING = "Rounded down"
TOTAL = "Total, tax included"
TAX = "of which tax ({rate} %)"
GOALS, GOAL, BEFORE, AFTER = "Your goals", "Goal", "As it stands", "With this package"
PARTS_IN_GOAL_DAY = "all parts in within {days} day of ordering; the work comes on top"
DECIDED_BY = "{goal}; decided by the {figure}"
PARTS_IN_GOAL = "all parts in within {days} days of ordering; the work comes on top"
PROMISE_HEADING = "What we promise and what we do not"
PROMISE = (
    "We promise the parts and the work listed, at these prices, and the values under “Your goals” "
    "within what stands beside each: how far it may be off, since parts and measures are never "
    "exact. A goal marked “as calculated” may be missed by that much; one marked “sure” may not. "
    "We do not promise approval by any authority, nor values that depend on what could not be "
    "checked."
)
WITHIN, HOW_SURE, MISSED = "Within", "How sure", "not met"
AS_CALCULATED = "Holds as calculated only"
CERTAINTY = "What certainty would cost"
CERTAINTY_LATER = "Not worked out for this quotation."
# Of a job that asks for it: it is in the price already.
CERTAINTY_ASKED = "What certainty costs"
CERTAINTY_ASKED_LATER = (
    "Asked for, and in the price: law, plates and clearances within usual tolerances, or no worse "
    "than before. What that adds was not worked out for this quotation."
)
CERTAINTY_IN_PRICE = (
    "So that law, plates and clearances hold within usual tolerances, as asked for, the cheapest "
    "package costs {price}. As calculated only it would be {calculated}, {more} less; what "
    "differs: {parts}."
)
CERTAINTY_IN_PRICE_AT_MOST = (
    "So that law, plates and clearances hold within usual tolerances, as asked for, a package "
    "costs {price} or less. As calculated only it would be {calculated}, {more} less at most; what "
    "differs: {parts}."
)
CERTAINTY_ALIKE = (
    "The cheapest package, {calculated}, keeps law, plates and clearances within usual tolerances "
    "too."
)
CERTAINTY_PRICE = (
    "The cheapest package costs {calculated} as calculated. So that law, plates and clearances "
    "hold within usual tolerances: {price}, {more} more; what differs: {parts}."
)
CERTAINTY_AT_MOST = (
    "The cheapest package costs {calculated} as calculated. So that law, plates and clearances "
    "hold within usual tolerances: {price} or less, {more} more at most; what differs: {parts}."
)
CERTAINTY_NONE = (
    "The cheapest package costs {calculated} as calculated. With these goals none keeps law, "
    "plates and clearances within usual tolerances."
)
CERTAINTY_OPEN = (
    "The cheapest package costs {calculated} as calculated. Whether one keeps law, plates and "
    "clearances within usual tolerances was not decided."
)
CERTAIN_GOAL = "{goal}, within usual tolerances: {price}, {more} more."
CERTAIN_GOAL_AT_MOST = "{goal}, within usual tolerances: {price} or less, {more} more at most."
CERTAIN_GOAL_OPEN = "{goal}: whether a package is sure of that was not decided."
CERTAIN_GOAL_MOST = (
    "{goal}: no package is sure of that; {value} is the most that can be promised, for {price}."
)
CERTAIN_GOAL_LEAST = (
    "{goal}: no package is sure of that; {value} is the least that can be promised, for {price}."
)
CERTAIN_GOAL_NEVER = "{goal}: no package is sure of that."
MARGINS, RULE, BOUND = "Tightest margins", "Rule", "Bound"
BOUND_LEAST, BOUND_MOST = "at least {needs}", "at most {needs}"
IN_STATE = "{rule}, {when}"
# In which order a quotation lists the systems of the vehicle; others stand behind these.
SYSTEMS = (
    "Wheels and tyres",
    "Axles and driveline",
    "Suspension",
    "Steering",
    "Brakes",
    "Body and protection",
    "Setting up and checks",
)
OTHER = "Other parts and work"
ITEM, DETAIL, QUANTITY = "Item", "Part number, what it includes", "Quantity"
SUBTOTAL = "Subtotal {system}"
PART_LINE = "{position}: {part}"
OWN_PART = "{number}; brought by you: no warranty"
INCLUDES = "includes {materials}"
MATERIAL = "{amount} {unit} {name}"
MATERIAL_PIECES = "{amount} × {name}"
HOURLY = "Work is priced at {rate} an hour, tax included; the rows include what is used up."
CAUTIONS = "Cautions"
ASSUMED = "Assumed"
LOCAL_RULES = "Local rules"
NOT_CHECKED = "Not checked"
NOT_PRICED = "Not priced"
PRICE_SOURCES = "Where prices are from"
TERMS, PAYMENT = "Terms", "Payment"
ACCEPTANCE = "Acceptance"
ACCEPT = "I accept this quotation and order the parts and the work listed in it."
OWN_TERMS = (
    "Parts that you bring are fitted as they are: we give no warranty for them, and do not order "
    "them."
)
CUSTOMER, FOR_WORKSHOP = "Customer", "For the workshop"

# -- handover -------------------------------------------------------------------------------------

CHANGED_HEADING, WHERE, NOW = "What was changed", "Where", "Now"
BEFORE_CHANGE = "Before"
NOTHING_CHANGED = "Nothing."
FELT_HEADING, WHAT = "What is different in driving", "What"
FELT_SENTENCE = "Calculated, not measured. What is not listed is unchanged, or was not calculated."
MIND = "Please mind"
LATER = "After the first kilometres"
LATER_SENTENCE = "Bring the vehicle back, or have it done by someone qualified, and tick it off."
AT, DO, DONE, BY = "After", "What", "Done", "By"
AGAIN_PART = "Tighten {position} ({part})."
AGAIN_TORQUE = "Tighten {position} ({part}) with {torque}, from {source}."
AGAIN_UNKNOWN = "Not given for {positions}: ask the makers whether and when to tighten again."
PRESSURE = "Tyre pressure"
PRESSURE_UNKNOWN = "Not known: ask the tyre's maker."
PRESSURE_JOB = (
    "All values are calculated for {pressure} cold, as agreed. That is no recommendation: the "
    "tyre's maker gives the pressure for the load and speed."
)
PRESSURE_USUAL = (
    "All values are calculated for {pressure} cold, the usual value of this program. That is no "
    "recommendation: the tyre's maker gives the pressure for the load and speed."
)
PRESSURE_NEW = "The tyres are new: the pressures on the vehicle's plate no longer apply."
APPROVAL = "Approval"
APPROVAL_BY = "Needs approval by {approve}: {names}."
LOCAL_CHECKED = "Local rules that were checked: {rules}."
LOCAL_NOT_CHECKED = (
    "No local rules were checked: ask there what this country or state forbids or wants approved."
)
INSURER = (
    "Ask the insurer as well. Until what needs approval is approved, the vehicle may not be used "
    "on the road."
)
RECEIVED_HEADING = "Handed over and received"
RECEIVED = "I have received the vehicle, this sheet and the explanations in it."
HANDED_OVER_BY, RECEIVED_BY = "Handed over by", "Received by"
