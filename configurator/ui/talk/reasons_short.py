"""Why parts do not fit, in a few words each, for all of them at once.

They are worked out behind the answer, when somebody looks at parts: first what one pass tells, then
each option by itself.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.questions.answers import reasons_for_options
from configurator.wording.quantities import counted

if TYPE_CHECKING:
    from configurator.questions.session import Session
    from configurator.search.explanation.option_reasons import OptionReason
    from configurator.ui.visit import Visit

Reasons = dict[tuple[str, str], str]

AT_ONCE, EACH = "reasons", "reasons of each"
# Work that says nothing of itself while it goes on.
QUIET = (AT_ONCE, EACH)
TOGETHER = "not with all goals together"


def look_for_reasons(visit: Visit) -> None:
    """Begin to work them out, unless that is done or under way."""
    if visit.talk.known(EACH) is None:
        visit.work(AT_ONCE, "Looking for reasons", lambda talk, _: _found(talk, AT_ONCE), wait=0.0)


def short_reasons(visit: Visit) -> tuple[Reasons, bool]:
    """Return (position, key of the part) → the reason, as far as known, and whether that is all."""
    known: Reasons | None = visit.talk.known(EACH)
    if known is not None:
        return known, True
    first: Reasons | None = visit.talk.known(AT_ONCE)
    if first is None:
        return {}, False
    visit.work(EACH, "Looking for reasons", lambda talk, _: _found(talk, EACH), wait=0.0)
    return first, False


def _found(talk: Session, name: str) -> Reasons:
    return talk.asked(
        name,
        lambda ready, _: {
            (position, part): reason_words(reason)
            for position, each in reasons_for_options(ready, alone=name == EACH).items()
            for part, reason in each.items()
        },
    )


def reason_words(reason: OptionReason) -> str:
    """Say a reason in a few words.

    Examples
    --------
    >>> from configurator.model.requirements import Wish
    >>> from configurator.search.explanation.option_reasons import OptionReason
    >>> reason_words(OptionReason("goal", wish=Wish("at most", "front track", bound=1.7)))
    'goal on front track'
    >>> reason_words(OptionReason("together"))
    'not with all goals together'
    """
    rule, wish = reason.rule, reason.wish
    if rule is not None:
        return getattr(rule, "quantity", "") or rule.name.removeprefix("the ")
    if wish is None:
        return TOGETHER
    if wish.kind in ("at least", "at most"):
        return f"goal on {wish.subject}"
    if wish.kind == "ready within":
        return f"not in within {counted(round(wish.bound), 'day')}"
    if wish.kind == "ruled out":
        return "ruled out by you"
    return f"your choice of {wish.subject}"
