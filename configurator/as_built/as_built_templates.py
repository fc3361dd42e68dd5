"""What the as-built check says: whole sentences with named values."""

CORRECTED_BY = "{correction} (give or take {spread})"
CORRECTION = "{cause} {correction} (give or take {spread})"
AGREES = "Every figure agrees with what was promised, within its tolerance."
LIKELY = "Likely cause of all of it: {cause}."
SEVERAL = (
    "More than one cause is likely, and these measurements do not tell them apart: {causes}. "
    "Measure another figure."
)
NOTHING_MOVES = "None of the assumptions moves what was measured. Measure again."
NO_SINGLE_CAUSE = (
    "No single cause of a usual size accounts for it: measure again, and look for more than one "
    "cause, or for a part other than the one that was ordered."
)
# (every figure then agrees, the correction is of a usual size)
ACCOUNTS = {
    (True, True): "{cause}: every figure then agrees; accounts for about {share} of the difference",
    (True, False): "{cause}: every figure then agrees; accounts for about {share} of the "
    "difference; more than is usual",
    (False, True): "{cause}: not every figure then agrees; accounts for about {share} of the "
    "difference",
    (False, False): "{cause}: not every figure then agrees; accounts for about {share} of the "
    "difference; more than is usual",
}
SINGLE_FIGURE = (
    "One figure alone may have any cause that moves it: nothing else was measured that could "
    "speak against it. Measure more figures."
)
ALIKE_MEASURE = "{first} and {second} move what was measured alike: measure {figure} as well."
ALIKE_NEVER = (
    "{first} and {second} move what was measured alike: no other figure that can be measured on "
    "this package tells them apart."
)
UNSEEN = (
    "{cause}: off by {usual}, which is the most that is usual, it moves no figure beyond its "
    "tolerance. It can neither be found nor ruled out by these figures."
)
# (with a cause corrected, no assumption moves the figure)
LEFT = {
    (False, False): "{figure}: {left} is left, where {tolerance} is the tolerance.",
    (False, True): "{figure}: {left} is left, where {tolerance} is the tolerance; none of the "
    "assumptions moves it.",
    (True, False): "{figure}: {left} is left with {cause} corrected, where {tolerance} is the "
    "tolerance.",
    (True, True): "{figure}: {left} is left with {cause} corrected, where {tolerance} is the "
    "tolerance; none of the assumptions moves it.",
}
TOGETHER = "{first} and {second} together would account for it: every figure then agrees."
CAUSE = "{cause} {correction}"
MORE_PAIRS = "{number} more pairs would, and fit less well."
WHICH_PAIR = "These figures do not tell which two it is: measure more figures."
TITLE = "The record is called “{title}”; its note says “{note}”"
