"""What is said of goals, conflicts, ways out, margins and cautions, as whole sentences."""

# -- what was asked for ---------------------------------------------------------------------------

BUDGET = "budget of {price}"
ALL_PARTS_IN = "all parts in within {days}"
UNCHANGED = "{position} unchanged"
NOT_FITTED = "{position} not fitted"
CHOSEN = "{position}: {part}"
RULED_OUT = "{part} ruled out"
SURE_GOAL = "{goal}, within tolerances"
GOAL = {
    "at least": "{figure} at least {value}",
    "at most": "{figure} at most {value}",
    "exactly": "{figure} exactly {value}",
    "between": "{figure} at least {low} and at most {high}",
    "high": "{figure} as high as possible",
    "low": "{figure} as low as possible",
    "at least, high": "{figure} at least {value} and as high as possible",
    "at least, low": "{figure} at least {value} and as low as possible",
    "at most, high": "{figure} at most {value} and as high as possible",
    "at most, low": "{figure} at most {value} and as low as possible",
    "exactly, high": "{figure} exactly {value} and as high as possible",
    "exactly, low": "{figure} exactly {value} and as low as possible",
    "between, high": "{figure} at least {low}, at most {high} and as high as possible",
    "between, low": "{figure} at least {low}, at most {high} and as low as possible",
}

# -- why it does not go together ------------------------------------------------------------------

COSTS_MORE = "{goal}: the other goals alone cost {price} or more"
TAKES_LONGER = "{goal}: the other goals need parts that take {days} or more"
MOST = "{figure} at least {needs}: with everything else you want, no more than {has}"
LEAST = "{figure} at most {needs}: with everything else you want, no less than {has}"
RULE_WITHIN = "{rule}: kept as calculated, not within usual tolerances"
RULE_AT_LEAST = "{rule}: {has} at best, minimum {needs}"
RULE_AT_MOST = "{rule}: {has} at best, maximum {needs}"
IN_STATE = "{said}, {when}"
DECIDED_BY = "{value} ({figure})"
WITH_SOURCE = "{said} (source: {source})"
PERHAPS_NOT_NEEDED = "{said} (not proven to be needed here: a smaller set may do without it)"
INPUT_UNKNOWN = "{input} is not known or does not apply"
INPUT_IS = "{input} is {values}"
INPUT_CAN_BE = "{input} can be {values}"
INPUT_CAN_BE_MORE = "{input} can be {values} and {more} more"

# -- what can change ------------------------------------------------------------------------------

AND = "{first} and {second}"
THEN_FROM = "{changes}: from {price}"
THEN_MET = "{changes}: then the vehicle meets the rest as it stands"
DROP_BUDGET = "drop the budget"
RAISE_BUDGET = "raise the {budget} to {price}"
SETTLE = "settle for {has} of {figure}"
SETTLE_AT_MOST = "accept {has} of {figure}"
DROP = "drop the goal {goal}"
WAIT_LONGER = "wait {days} instead of {limit} until all parts are in"
CHOOSE_OTHER = "choose other {position}"
CHOOSE_ANOTHER = "choose another {position}"
LET_CHANGE = "let the {position} change"
ALLOW = "allow {part}"

# -- the next step --------------------------------------------------------------------------------

NEXT_STEP = (
    "The budget of {budget} buys no better {figure} than {has}. The next step is {level}, for "
    "{price}."
)
NEXT_STEP_OR_MORE = (
    "The budget of {budget} buys no better {figure} than {has}. The next step is {level}, for "
    "{price} or more."
)

# -- margins --------------------------------------------------------------------------------------

MARGIN_AT_LEAST = "{quantity}: {has}, minimum {needs}"
MARGIN_AT_MOST = "{quantity}: {has}, maximum {needs}"
TO_SPARE = "{quantity}: {has} to spare"
NONE_TO_SPARE = "{quantity}: none to spare"

# -- cautions -------------------------------------------------------------------------------------

CAUTION = "{names}: {says}"
INSPECT = "Inspect: {inspect}"
APPROVE = "Needs approval by {approve}."

# -- what a rule reads ----------------------------------------------------------------------------

READS_CHANGED = "{position} changed"
READS_FITTED = "{position} fitted"
READS_PART = "{attribute} of the {position}"
READS_AS_IT_STANDS = "{attribute} of the {position} as it stands"
READS_VEHICLE = "{measure} of the vehicle"
READS_PRACTICE = "{practice} (workshop practice)"
READS_CONDITION = "{condition} (as the job says)"
AS_FITTED = "{part} (as fitted)"
WITH_KEY = "{part} ({key})"

# -- what else a choice needs ---------------------------------------------------------------------

RELATIVE_TO = "Relative to the parts of {catalogs}."
NO_CATALOG = "Relative to no catalog: only what is fitted counts."
CATALOG_DATED = "{catalog} ({key}, prices of {date})"
DECIDED = "Decided: {choices}."
BY_RULES = "By the rules alone: goals and budget are not counted."
BY_GOALS = "Goals and budget are counted."
WITHIN_DAYS = "All parts are in within {days}."
OTHER_PART = "another part than the one fitted"
# (needed whatever is chosen, by way of others)
NEEDS = {
    (False, False): "{position}: {part}, because {reasons}",
    (True, False): "{position}: {part} (needed whatever is chosen here), because {reasons}",
    (False, True): "{position}: {part} (by way of {through}), because {reasons}",
    (True, True): "{position}: {part} (needed whatever is chosen here; by way of {through}), "
    "because {reasons}",
}
RULE_AS_BEFORE = "{rule}: as before"
RULE_KEPT = "{rule}: kept"
# (the same before and after, bound)
UNTOUCHED = {
    (True, None): "{rule}: {before} before and after",
    (True, True): "{rule}: {before} before and after, minimum {needs}",
    (True, False): "{rule}: {before} before and after, maximum {needs}",
    (False, None): "{rule}: {before} before, {after} after",
    (False, True): "{rule}: {before} before, {after} after, minimum {needs}",
    (False, False): "{rule}: {before} before, {after} after, maximum {needs}",
}

# -- in what packages differ ----------------------------------------------------------------------

INSTEAD_NOT_FITTED = "{position} not fitted instead of {other}"
INSTEAD_OF_NOT_FITTED = "{position} with {attribute} {has}, not fitted there"
INSTEAD = "{position} with {attribute} {has} instead of {had}"
FIGURE_INSTEAD = "{figure} {has} instead of {had}"
HOURS_INSTEAD = "{has} hours of work instead of {had}"
WAIT_INSTEAD = "all parts in after {days} instead of {other}"
DIFFERS = "Beside the cheapest package: {differences}."
DIFFERS_UNPROVEN = (
    "Beside the cheapest package: {differences}; not proven to be the cheapest of its kind."
)
NO_KINDS = "No family that much hangs on leaves a choice: there is only a single kind of package."
BIG_CHOICE = "{family} (by {attribute})"
EACH_DIFFERS = (
    "Each package is the cheapest that differs from all before it in {least} or more of these: "
    "{choices}."
)
EACH_DIFFERS_NO_MORE = (
    "Each package is the cheapest that differs from all before it in {least} or more of these: "
    "{choices}. No further package is so different and within the budget."
)

# -- how many packages there are ------------------------------------------------------------------

AT_LEAST = "at least {number}"
AT_MOST = "at most {number}"
BETWEEN = "at least {least} and at most {most}"
MEETS = "{number} package meets this job, the budget left aside."
MEET = "{number} packages meet this job, the budget left aside."
A_PACKAGE = (
    "A package is one choice of part for every position; two that differ in one part are two."
)
WHOLE_ONLY = "These are checked on whole packages only and may strike off some of them: {rules}."
INSIDE = "Within the budget of {budget}: {number}."
INSIDE_CHECKED = "Within the budget of {budget}: {number}, every rule checked."
INSIDE_PRICE = (
    "Within the budget of {budget}: {number}, by price alone; the least keeps every rule."
)
NOT_AS_ASKED = "not as asked"
OVER_BUDGET = "over budget"

# -- prices that are not exact --------------------------------------------------------------------

SUMS_IN_PART = "limits on sums over the whole vehicle, such as axle loads, are counted in part"
LONG_LISTS = (
    "these lists are so long that rules which many parts have a say in are each weighed by "
    "themselves ({rules}); every part that you choose brings them closer"
)
LONG_LISTS_MORE = (
    "these lists are so long that rules which many parts have a say in are each weighed by "
    "themselves ({rules} and {more} more); every part that you choose brings them closer"
)
TOO_LONG = (
    "these lists are too long to make every price exact ({rows} rows and more); leave catalogs "
    "out of the job, or go on with minimum prices: every part that you choose brings them closer"
)
