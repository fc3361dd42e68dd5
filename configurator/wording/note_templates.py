"""What goes with every package: what was assumed, not checked, not priced, and local rules.

Whole sentences with named values; said in English here, in the reader's language on documents.
"""

# -- what was assumed of the vehicle --------------------------------------------------------------

ASSUMED_VALUE = "{measure}: {value} assumed, not measured ({how})."
READ_BY = "Used for: {readers}."
READ_BY_MORE = "Used for: {readers} and {more} more."
GOAL_READER = "the goal {figure}"
NO_USUAL_RANGE = "No usual range is declared for it."
# A value that is a word.
QUOTED = "“{word}”"
HOLDS_AT = "With {value}, this package still holds."
BREAKS_AT = "With {value}, this package breaks: {rules}."
MISSES_AT = "With {value}, this package misses: {goals}."
BREAKS_AND_MISSES_AT = "With {value}, this package breaks: {rules}; and misses: {goals}."
CHEAPEST_THERE = "The cheapest package there costs {price}."
NOTHING_THERE = "Nothing fits there."
# Where nothing fits, so that there is no package to speak of.
WHETHER_NOT_WORKED_OUT = (
    "Whether anything fits at the usual bounds of what was assumed was not worked out; "
    "fitwright find --assumed does it."
)
CHEAPEST_WITH = "With {value}, the cheapest package costs {price}."
NOTHING_WITH = "With {value}, nothing fits either."
NOT_WORKED_OUT = (
    "What the cheapest package would be at these bounds was not worked out; "
    "fitwright find --assumed does it."
)
MEASURE_ASSUMED = "1 measure assumed."
MEASURES_ASSUMED = "{number} measures assumed."
MEASURE_TENDER = (
    "1 measure assumed; the package does not hold everywhere in the usual range of {names}."
)
MEASURES_TENDER = (
    "{number} measures assumed; the package does not hold everywhere in the usual range of {names}."
)

# -- what could not be checked --------------------------------------------------------------------

RULE_NOT_CHECKED = "1 rule was not checked: {kinds}."
RULES_NOT_CHECKED = "{number} rules were not checked: {kinds}."
KIND_COUNT = "{kind} ({number})"
WAITS = "{missing}. Not checked without it: {rules}."
WAITS_MORE = "{missing}. Not checked without it: {rules} and {more} more."
WAITS_HOW = "{missing} ({how}). Not checked without it: {rules}."
WAITS_HOW_MORE = "{missing} ({how}). Not checked without it: {rules} and {more} more."
NOT_CHECKED_BECAUSE = "{rule}: {why}"

RULE_LIFTED = "{rule}: lifted, it need not hold here. {who}"

# -- local rules ----------------------------------------------------------------------------------

NO_LOCAL_RULES = "No local rules were checked: the job names none. Ask what the law asks for here."
LOCAL_KEPT = "{rule}: kept ({source})."
LOCAL_BROKEN = "{rule}: broken ({source})."
LOCAL_NOT_CHECKED = "{rule}: not checked ({source})."
LOCAL_ASK = "{rule}: not checked; ask {approve} ({source})."
LOCAL_NEEDS_APPROVAL = "{rule}: needs approval by {approve} ({source})."
LOCAL_NOT_REACHED = "{rule}: does not apply, by the figures of this sheet ({source})."
NO_SOURCE = "no source"

# -- prices ---------------------------------------------------------------------------------------

NO_HOURLY_RATE = "working time: the settings of the workshop give no price of an hour"
NO_CONSUMABLE_PRICE = "{name}: the settings of the workshop give no price"
PRICES_OF = "{catalog} ({key}): prices of {date}, source: {source}"
