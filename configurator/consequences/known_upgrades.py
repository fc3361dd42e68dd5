"""What choices force, worked out once for all sessions that talk about the job."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.consequences import upgrades
from configurator.questions.remembered_answers import FORCED_BY

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.consequences.upgrade_records import Forced
    from configurator.evaluation.evaluator import Option
    from configurator.questions.session import Session


def forced_by_each(talk: Session, options: Sequence[Option]) -> list[Forced]:
    """Find what each of several choices forces by the rules alone, of those not known yet at once.

    Parameters
    ----------
    talk
        About the job.
    options
        The choices.

    Returns
    -------
    list of Forced
        In the order of the choices; as `upgrades.forces_each` gives them.

    Raises
    ------
    Cancelled
        If the work is stopped.
    """
    unknown = [option for option in options if talk.known(_name(option)) is None]
    if unknown:
        each = upgrades.forces_each(talk.prepared(), unknown)
        for option, forced in zip(unknown, each, strict=True):
            talk.asked(_name(option), lambda *_, forced=forced: forced)
    return [talk.known(_name(option)) for option in options]


def _name(option: Option) -> str:
    return f"{FORCED_BY}{option.position}\n{option.key}"
