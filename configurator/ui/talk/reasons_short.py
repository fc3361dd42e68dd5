"""Why parts do not fit, in a few words each, for all of them at once.

They are worked out behind the answer and all prices, when somebody looks at parts: first what one
pass tells, then each option by itself.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core.progress import part_known
from configurator.evaluation.worst_state import only_state
from configurator.model.knowledge import BUILT_IN, references
from configurator.model.references import PartValue
from configurator.model.sure_goals import shown_name
from configurator.questions.answers import reasons_for_options
from configurator.ui.talk.turns import TURNS
from configurator.wording.quantities import counted
from configurator.wording.sentences import in_state

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.core.progress import Progress
    from configurator.model.jobs import Job
    from configurator.model.knowledge import Trade
    from configurator.model.rules import Rule
    from configurator.questions.session import Session
    from configurator.search.explanation.option_reasons import OptionReason
    from configurator.search.optimum.preparing import Prepared
    from configurator.ui.visit import Visit

    OptionReasons = Mapping[str, Mapping[str, OptionReason]]

Reasons = dict[tuple[str, str], str]

AT_ONCE, EACH = "reasons", "reasons of each"
# Work that says nothing of itself while it goes on.
QUIET = (EACH,)
TOGETHER = "not with all goals together"


def look_for_reasons(visit: Visit) -> None:
    """Begin to work them out, unless that is done or under way."""
    if visit.talk.known(EACH) is None:
        visit.work(EACH, "Looking for reasons", _look, wait=0.0)


def short_reasons(visit: Visit) -> tuple[Reasons, bool]:
    """Return (position, key of the part) → the reason, as far as known, and whether that is all."""
    known: Reasons | None = visit.talk.known(EACH)
    if known is not None:
        return known, True
    first: Reasons | None = visit.talk.known(AT_ONCE)
    return first or {}, False


def _look(talk: Session, progress: Progress) -> None:
    """Work them out when nothing else is worked on; those that one pass tells are known first."""

    def in_words(ready: Prepared, reasons: OptionReasons) -> Reasons:
        trade = ready.evaluation.trade
        return {
            (position, part): reason_words(trade, reason, position)
            for position, each in reasons.items()
            for part, reason in each.items()
        }

    def answer(ready: Prepared, _: Job) -> Reasons:
        def so_far(reasons: OptionReasons) -> None:
            talk.asked(AT_ONCE, lambda *_: in_words(ready, reasons))
            part_known()

        return in_words(ready, reasons_for_options(ready, so_far=so_far))

    with TURNS.taken(progress):
        talk.asked(EACH, answer)


def reason_words(trade: Trade, reason: OptionReason, position: str) -> str:
    """Say a reason in a few words: the quantity and when, or what of the part it is about.

    Examples
    --------
    >>> from configurator.model.knowledge import Trade
    >>> from configurator.model.requirements import Wish
    >>> from configurator.search.explanation.option_reasons import OptionReason
    >>> wish = Wish("at most", "front track", bound=1.7)
    >>> reason_words(Trade(), OptionReason("goal", wish=wish), "tyres")
    'goal on front track'
    >>> reason_words(Trade(), OptionReason("together"), "tyres")
    'not with all goals together'
    """
    rule, wish = reason.rule, reason.wish
    if rule is not None:
        words = getattr(rule, "quantity", "") or _about(rule, position)
        return in_state(words, only_state(trade, rule, words))
    if wish is None:
        return TOGETHER
    if wish.kind in ("at least", "at most"):
        return f"goal on {shown_name(wish.subject)}"
    if wish.kind == "parts within":
        return f"not in within {counted(round(wish.bound), 'day')}"
    if wish.kind == "ruled out":
        return "ruled out by you"
    return f"your choice of {wish.subject}"


def _about(rule: Rule, position: str) -> str:
    """Name what a rule without a quantity reads of the part, or else the rule that is not kept.

    The name of a rule says what should be: alone it would read as if it were so.
    """
    own = [
        reference.attribute
        for reference in references(rule)
        if isinstance(reference, PartValue)
        and reference.position == position
        and reference.attribute not in BUILT_IN
    ]
    if own:
        return " and ".join(dict.fromkeys(own[:2]))
    return f"fails: {rule.name.removeprefix('the ')}"
