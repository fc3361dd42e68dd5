"""Why parts do not fit, in a few words each, for all of them at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.questions.answers import OptionState
    from configurator.questions.session import Session


def short_reasons(
    talk: Session, states: Mapping[str, Sequence[OptionState]]
) -> dict[tuple[str, str], str]:
    """Return (position, key of the part) → the reason in a few words, of those that do not fit.

    Parameters
    ----------
    talk
        The job under discussion.
    states
        What is known of every option.
    """
    work_out = getattr(talk, "reasons", None)
    if work_out is None:
        return {}
    found: dict[tuple[str, str], str] = work_out(states)
    return found
