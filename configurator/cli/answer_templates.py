"""What the commands that answer a job say: whole sentences with named values."""

# -- the job --------------------------------------------------------------------------------------

VEHICLE = "Vehicle: {vehicle}"
VEHICLES = "Vehicle: {vehicle} ({number} alike; all prices are for one)"
GOALS = "Goals: {goals}"
NO_GOALS = "Goals: none"
BUDGET = "Budget: {budget}"
PARTS_WITHIN = "All parts in within {days}; the work comes on top"

# -- a package ------------------------------------------------------------------------------------

CHEAPEST = "Cheapest package: {price}"
BEST = "Best package found: {price}"
NUMBERED = "Package {number} of {count}: {price}"
PARTS_AND_WORK = "Parts {parts}, work {work}."
PARTS_AND_WORK_TAXED = "Parts {parts}, work {work}; tax of {tax} included."
ALL_VEHICLES = "For all {number} vehicles: {price}."
NEW_PARTS = "New parts"
REMOVED = "Removed: {positions}."
UNCHANGED = "Unchanged: {positions}."
NOT_FITTED = "Not fitted: {positions}."
WORK = "Work: {hours} hours, {operations}."
LONGEST_WAIT = "Longest delivery time: {days}."
WAIT_UNKNOWN = "Delivery time not given by the list: {parts}."
GOALS_HEADING = "Goals"
GOAL_COLUMNS = ("goal", "with this package", "")
GOAL_WITHIN = "{has} ±{within}"
MET, NOT_MET = "met", "not met"
TIGHTEST = "Tightest margins"
HOW_SURE = "How sure, within usual tolerances"
SURE_ASKED = (
    "Asked for: law, plates and clearances within usual tolerances, or no worse than before."
)
CALCULATED_ASKED = (
    "Asked for: law, plates and clearances as calculated only; built so, a vehicle may miss them."
)
PRICE_OF_CERTAINTY = "What certainty costs"
LIFTED = "Lifted: need not hold here"
LIFTED_RULE = "{rule}: {who}"

# -- how the search ended -------------------------------------------------------------------------

STOPPED_EMPTY = "The search was stopped before it reached a package; there may be one."
NONE_SEEN = "Many cases were looked at, none of them a package; there may be one."
STOPPED = "The search was stopped early: a cheaper package may exist."
UNPROVEN = "Not proven, after much looking, to be the cheapest: a cheaper package may exist."
GAP = "No package costs less than {least}, as is proven: it may be {gap} too dear, no more."
NO_LESS = "No package costs less than {least}, as is proven."

# -- nothing fits ---------------------------------------------------------------------------------

NOTHING_FITS = "Nothing fits"
STOPPED_WHY = "The search was stopped before the reason was worked out."
ONLY_MONEY = "Only the budget is in the way: the cheapest package costs {price}."
NO_CONFLICT = (
    "The goals and rules that clash could not be narrowed down: limits on sums over the whole "
    "vehicle are checked on whole packages only."
)
CLASH = "These clash. Drop any one and the rest works:"
YOUR_GOALS = "Your goals"
RULES = "Rules of every package"
BECAUSE = "because {reason}"
CAN_CHANGE = "What can change"
WHY = "Why"
STOPPED_CHANGES = "The search was stopped before every way out was worked out."
NO_CHANGES = "No way out: dropping goals does not help."

# -- what goes with every answer ------------------------------------------------------------------

CAUTIONS = "Cautions"
STANDING = "Standing cautions, whole on every document: {names}."
APPROVAL = "Needs approval by {approve}: {names}."
INSPECTIONS = "Inspections for each of them: fitwright build-sheet, fitwright handover."
ASSUMED = "Assumed"
LOCAL_RULES = "Local rules"
NOT_CHECKED = "Not checked"
NOT_PRICED = "Not priced"
PRICES = "Prices"
ONE_PACKAGE = "{note} (package {number})"
SOME_PACKAGES = "{note} (packages {numbers})"

# -- what else a choice needs ---------------------------------------------------------------------

IN_NO_PACKAGE = "Fits in no package:"
NO_PACKAGE_WITHOUT = "There is no package without it to compare its price with."
NONE_WITHOUT_SEEN = "No package without it was reached to compare its price with."
ADDS = "Adds {price} in all, compared with the cheapest package without it."
SAVES = "Saves {price} in all, compared with the cheapest package without it."
NOT_PROVEN = "{said} Best found, not proven."
NEEDS = "Also needs:"
NEEDS_NOTHING = "Needs nothing else."
CAN_STAY = "Can stay as they are:"
CAN_STAY_COUNT = "{places} can stay as fitted (--unchanged names them, with numbers)."
NOT_DECIDED = "Not decided, because of sums over the whole vehicle: {positions}."
SETS = "Come as a set"

# -- an idea compared ------------------------------------------------------------------------------

ALSO_DIFFERENT = "What else is different with it"

# -- measures to take -----------------------------------------------------------------------------

MEASURES = "{count}, those most rules hang on first"
MEASURES_MISSING = "{count} that {vehicle} does not say, those most rules hang on first"

# -- backups --------------------------------------------------------------------------------------

SAVED_COUNT = "{jobs}, {quotations}"
SAVED_NEWEST = "{jobs}, {quotations}, the newest of {day}"
SAVED_LAST = "{jobs}, {quotations}, the newest of {day}; last number given: {last}"
SAVED_NUMBER = "{jobs}, {quotations}; last number given: {last}"

# -- catalogs -------------------------------------------------------------------------------------

CATALOG_SOUND = "{catalog}: sound, {warnings}"
CATALOG_UNSOUND = "{catalog}: not to be used: {errors}, {warnings}"
AND_MORE = "{names} and {more} more"
TEMPLATE_CSV = (
    "{file} is written: fill it in from row 2 on, in place of the example. What the columns mean "
    "is shown without --into."
)
TEMPLATE_XLSX = (
    "{file} is written: fill it in from row 2 on, in place of the example. What the columns mean "
    "stands in its sheet of meanings and beside the headings."
)

# -- options --------------------------------------------------------------------------------------

IN_AFTER = "in after {days}"
THEN_PRICE = "then: {price}"
IF_UNLOCKED = "if unlocked: {price}"
ANOTHER_CHOSEN = "another is chosen"
PRICE_AT_LEAST = "at least {price}"
MINIMUM_PRICES = (
    "At least: {why}; a part with such a price may yet be impossible. fitwright exact-prices {job} "
    "makes prices exact; that may take minutes, once."
)

GO_ON = "Go on"
WAYS_ON = (
    "{fitwright} page: the same with a customer, in the browser",
    "{fitwright} find {job}: one of these jobs alone; each is a text file",
    "{fitwright} new JOB.toml: a job of your own",
)
