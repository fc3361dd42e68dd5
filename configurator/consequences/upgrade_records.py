"""The answers about what a choice forces, as records."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from configurator.consequences.shared_properties import SharedProperty
    from configurator.evaluation.evaluator import Option
    from configurator.model.rules import Rule
    from configurator.search.explanation.conflicts import Reason

# By the rules alone, or with the job's goals and budget.
Reading = Literal["fit", "goals"]


@dataclass(frozen=True, slots=True)
class Arrow:
    """A choice cannot be had with the part that is at another position now.

    Parameters
    ----------
    position
        Where something else is needed.
    kinds
        What all options that remain there share and the present part lacks; empty where they
        share nothing that these rules read, and only the present part itself is ruled out.
    because
        A smallest set of rules and wishes that makes it so: without any one of them, one of the
        options in ``refuses`` could be there.
    refuses
        Keys of the options that the reasons rule out: the present part, or those without the kind.
    through
        Other positions that those rules look at; empty for a direct arrow.
    anyway
        Whether these reasons hold without the choice too: it is what the job asks that forces.
    remain
        Keys of the options that are not ruled out at the position.
    """

    position: str
    kinds: tuple[SharedProperty, ...]
    because: tuple[Reason, ...]
    refuses: tuple[str, ...]
    through: tuple[str, ...]
    anyway: bool
    remain: tuple[str, ...]

    @property
    def direct(self) -> bool:
        """Whether its rules look at no third position."""
        return not self.through


@dataclass(frozen=True, slots=True)
class Untouched:
    """A rule of a position that keeps its part, before and after: the numbers that show it.

    ``before`` and ``after`` are what a limit has, ``needs`` what it asks, all in SI; for a rule of
    yes or no they are None. ``after`` is taken from a package that has the choice, keeps the part
    and changes little else; ``same`` is whether the rule says the same as before.
    """

    rule: Rule
    before: float | None
    after: float | None
    needs: float | None
    at_least: bool
    same: bool


@dataclass(frozen=True, slots=True)
class Kept:
    """A position whose part can stay, with its rules.

    ``proven`` is False where sums over the whole vehicle left it undecided whether it can; then
    there are no rules to show.
    """

    position: str
    rules: tuple[Untouched, ...]
    proven: bool = True


@dataclass(frozen=True, slots=True)
class Forced:
    """What one choice forces.

    Parameters
    ----------
    option
        The choice.
    possible
        Whether any package has it; if not, ``conflict`` says why and there are no arrows.
    conflict
        Why the choice itself is impossible.
    arrows
        What it forces, by position; a position has one arrow for each kind that is told apart.
    kept
        Positions whose part can stay.
    adds
        Minor units that the cheapest package with it costs more than the cheapest without it, work
        included; None where one of them does not exist or was not found.
    adds_proven
        Whether no cheaper package than those compared can exist.
    back
        Positions of arrows whose every remaining option forces this choice's position in turn.
    """

    option: Option
    possible: bool
    conflict: tuple[Reason, ...]
    arrows: tuple[Arrow, ...]
    kept: tuple[Kept, ...]
    adds: int | None
    adds_proven: bool
    back: tuple[str, ...]
