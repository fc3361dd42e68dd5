"""Work that takes longer than a click: in a thread, with progress, and it can be stopped.

It ends with the tab that began it: nobody is left to look at what it would give.
"""

from __future__ import annotations

import threading
import time
from typing import TYPE_CHECKING, Any, Literal

from configurator.core.errors import FitwrightError
from configurator.core.progress import Cancelled, Progress, followed
from configurator.ui.stuck_rules import end_rule, line_of_rule
from configurator.ui.talk.turns import TURNS

if TYPE_CHECKING:
    from collections.abc import Callable, MutableMapping

State = Literal["running", "done", "stopped", "failed"]
# So long a rule may take after it was to stop [s]; the search asks a rule thousands of times.
PATIENCE = 5.0
STUCK = "the rule did not return within {seconds:g} s: {rule}; it must end for every input"


class Task:
    """Work in a thread.

    Parameters
    ----------
    what
        What is done, in words.
    work
        Called with the progress that follows it, for what it has to say itself. It is stopped at
        its next step; where it was asked for what is known by then, it gives that.
    """

    def __init__(self, what: str, work: Callable[[Progress], Any]) -> None:
        self.what = what
        self.progress = Progress(give_way=TURNS.give_way)
        self.state: State = "running"
        self.result: Any = None
        self.error: FitwrightError | None = None
        self._stuck_in = ""
        self._begun = time.monotonic()
        self._thread = threading.Thread(target=self._run, args=(work,), daemon=True)
        self._thread.start()

    @property
    def seconds(self) -> int:
        """How long it has taken so far."""
        return int(time.monotonic() - self._begun)

    @property
    def stands(self) -> tuple[State, int]:
        """Its state, and how many parts of the answer are known already."""
        return self.state, self.progress.parts_known

    @property
    def halted(self) -> bool:
        """Whether somebody stopped it: what it gives all the same is not all of it."""
        return self.progress.cancelled()

    def _run(self, work: Callable[[Progress], Any]) -> None:
        try:
            with followed(self.progress):
                self.result = work(self.progress)
            self.state = "done"
        except Cancelled:
            if self._stuck_in:
                self.error = FitwrightError(STUCK.format(seconds=PATIENCE, rule=self._stuck_in))
            self.state = "failed" if self._stuck_in else "stopped"
        except FitwrightError as problem:
            self.error = problem
            self.state = "failed"
        except Exception as problem:
            # What nobody foresaw must end the waiting too; its text is not for whoever sees it.
            self.error = FitwrightError(f"this could not be worked out ({type(problem).__name__})")
            self.state = "failed"

    def stop(self) -> None:
        """End it at its next step, or in the rule that lets no step come."""
        if self.state == "running":
            self.progress.cancel()
            threading.Thread(target=self._end_stuck, daemon=True).start()

    def _end_stuck(self) -> None:
        thread = self._thread.ident
        self._thread.join(PATIENCE)
        while thread is not None and self._thread.is_alive() and self.progress.waits:
            if rule := line_of_rule(thread):
                self._stuck_in = rule
                end_rule(thread)
            self._thread.join(PATIENCE)

    def wait(self, seconds: float) -> None:
        """Wait a little: what is done at once is shown at once."""
        with TURNS.lent():
            self._thread.join(seconds)


def end(tasks: MutableMapping[str, Task]) -> None:
    """Stop running work, and forget that it was begun; what was done is kept."""
    for name, task in list(tasks.items()):
        if task.state == "running":
            task.stop()
            tasks.pop(name, None)
