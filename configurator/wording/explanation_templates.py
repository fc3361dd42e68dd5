"""What is said of goals, conflicts, ways out, margins and cautions, as whole sentences."""

# -- what was asked for ---------------------------------------------------------------------------

BUDGET = "budget of {price}"
ALL_PARTS_IN = "all parts in within {days}"
UNCHANGED = "{position} unchanged"
NOT_FITTED = "{position} not fitted"
CHOSEN = "{position}: {part}"
RULED_OUT = "{part} ruled out"
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
MOST = "{figure} at least {needs}: with everything else you want, {has} is the most"
LEAST = "{figure} at most {needs}: with everything else you want, {has} is the least"
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
