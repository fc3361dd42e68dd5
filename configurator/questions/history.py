"""The steps of a job under discussion: back and forth between them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from configurator.model.jobs import Job

STEPS_KEPT = 200


@dataclass(frozen=True, slots=True)
class JobStep:
    """A job, and in words what made it of the one before."""

    job: Job
    name: str


@dataclass(frozen=True, slots=True)
class History:
    """All steps, and which of them is now.

    Examples
    --------
    >>> from configurator.model.jobs import Job
    >>> first = Job("a", "demo/b", ("demo",))
    >>> history = begun(first)
    >>> history = went_on(history, replace(first, budget=100), "set the budget")
    >>> undone(history).job.budget, redone(undone(history)).job.budget
    (None, 100)
    """

    steps: tuple[JobStep, ...]
    at: int = 0

    @property
    def job(self) -> Job:
        """The job as it stands."""
        return self.steps[self.at].job

    @property
    def can_undo(self) -> str:
        """What an undo takes back; empty where there is nothing."""
        return self.steps[self.at].name if self.at else ""

    @property
    def can_redo(self) -> str:
        """What a redo brings back; empty where there is nothing."""
        return self.steps[self.at + 1].name if self.at + 1 < len(self.steps) else ""


def begun(job: Job) -> History:
    """Begin a history."""
    return History((JobStep(job, ""),))


def went_on(history: History, job: Job, name: str) -> History:
    """Take a step; what was undone before it is gone. A step that changes nothing is none."""
    if job == history.job:
        return history
    steps = (*history.steps[: history.at + 1], JobStep(job, name))[-STEPS_KEPT:]
    return History(steps, len(steps) - 1)


def undone(history: History) -> History:
    """Go one step back, if there is one."""
    return replace(history, at=max(0, history.at - 1))


def redone(history: History) -> History:
    """Go one step forward again, if there is one."""
    return replace(history, at=min(len(history.steps) - 1, history.at + 1))
