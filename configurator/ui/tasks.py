"""Work that takes longer than a click: in a thread, with progress, and it can be stopped.

It ends with the tab that began it: nobody is left to look at what it would give.
"""

from __future__ import annotations

import ctypes
import sys
import threading
import time
from typing import TYPE_CHECKING, Any, Literal

from configurator.core.errors import FitwrightError

if TYPE_CHECKING:
    from collections.abc import Callable, MutableMapping

# After how long a stop that was swallowed is raised again [s].
AGAIN = 0.02

State = Literal["running", "done", "stopped", "failed"]


class Stopped(KeyboardInterrupt):
    """Raised in a task's thread to end it; no rule's `except Exception` may take it for its own.

    A search takes it as it takes Ctrl-C: where it was asked for what is found by then, it gives
    that.
    """


def _raise_in(thread: threading.Thread) -> None:
    """Let a thread that still works meet `Stopped` at its next line of Python."""
    if thread.ident is not None and thread.is_alive():
        ctypes.pythonapi.PyThreadState_SetAsyncExc(
            ctypes.c_ulong(thread.ident), ctypes.py_object(Stopped)
        )


class _NotSwallowed:
    """Lets `Stopped` end a thread that meets it where Python swallows it.

    In a destructor or a callback of a weak reference no exception goes any further; Python calls
    ``sys.unraisablehook`` instead, in the same thread.
    """

    def __init__(self, before: Callable[[sys.UnraisableHookArgs], Any]) -> None:
        self._before = before

    @classmethod
    def install(cls) -> None:
        """Stand before whatever hook there is, once."""
        if not isinstance(sys.unraisablehook, cls):
            sys.unraisablehook = cls(sys.unraisablehook)

    def __call__(self, swallowed: sys.UnraisableHookArgs) -> None:
        """Raise it again, or pass on what is none of ours."""
        if issubclass(swallowed.exc_type, Stopped):
            # Not at once: it would only meet this hook, and be swallowed again.
            threading.Timer(AGAIN, _raise_in, [threading.current_thread()]).start()
        else:
            self._before(swallowed)


class Task:
    """Work in a thread.

    Parameters
    ----------
    what
        What is done, in words.
    work
        Called with a function that takes progress in words.
    """

    def __init__(self, what: str, work: Callable[[Callable[[str], None]], Any]) -> None:
        self.what = what
        self.progress = ""
        self.state: State = "running"
        self.result: Any = None
        self.error: FitwrightError | None = None
        # Whether somebody stopped it: what it gives all the same is not all of it.
        self.halted = False
        self._begun = time.monotonic()
        _NotSwallowed.install()
        self._thread = threading.Thread(target=self._run, args=(work,), daemon=True)
        self._thread.start()

    @property
    def seconds(self) -> int:
        """How long it has taken so far."""
        return int(time.monotonic() - self._begun)

    def _run(self, work: Callable[[Callable[[str], None]], Any]) -> None:
        try:
            self.result = work(self._say)
            self.state = "done"
        except Stopped:
            self.state = "stopped"
        except FitwrightError as problem:
            self.error = problem
            self.state = "failed"
        except Exception as problem:
            # What nobody foresaw must end the waiting too; its text is not for whoever sees it.
            self.error = FitwrightError(f"this could not be worked out ({type(problem).__name__})")
            self.state = "failed"

    def _say(self, progress: str) -> None:
        self.progress = progress

    def stop(self) -> None:
        """End it: the thread meets `Stopped` at its next line of Python."""
        if self.state == "running":
            self.halted = True
            _raise_in(self._thread)

    def wait(self, seconds: float) -> None:
        """Wait a little: what is done at once is shown at once."""
        self._thread.join(seconds)


def end(tasks: MutableMapping[str, Task]) -> None:
    """Stop running work, and forget that it was begun; what was done is kept."""
    for name, task in list(tasks.items()):
        if task.state == "running":
            task.stop()
            tasks.pop(name, None)
