"""What belongs to one visitor: the job under discussion, units, running work, packages set aside.

Streamlit runs the page anew at each click; this is what stays between runs.
"""

from __future__ import annotations

import copy
from contextlib import suppress
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import streamlit as st

from configurator.core.errors import FitwrightError, InputError
from configurator.files import job_files, job_link
from configurator.questions.case_cache import serves_both
from configurator.ui import closed_tabs
from configurator.ui.shared_cases import (
    Library,
    library,
    prepare,
    prepare_first,
    ready_jobs,
    session_for,
)
from configurator.ui.tasks import Task

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Mapping, MutableMapping

    from configurator.core.progress import Progress
    from configurator.evaluation.effects import Effect
    from configurator.evaluation.evaluator import Option
    from configurator.files.part_filter import FilterCondition
    from configurator.model.jobs import Job
    from configurator.questions.answers import OptionState
    from configurator.questions.history import JobStep
    from configurator.questions.session import Session
    from configurator.wording.quantities import System

FIRST_JOB = "demo/hut-track-wagon"
PARAMETER = "job"
# Beside the job in a link where its prices are from a list that the link cannot carry.
UPLOADED = "uploaded"
PART = "part"
DRAFT = "draft"
SAVED = "saved"
# Which parts of the talk an address can name; the page itself goes from one to the other.
VIEWS_OF_TALK = ("goals", "parts", "build", "compare")
MOST_BESIDE = 4
# Work that is done within this time needs no word of waiting [s].
AT_ONCE = 0.25
# So long the last answer stays without one: to draw it once more would only delay the next [s].
STAYS = 1.2
# The case that says what the cheapest package is, and the one that all else is asked of.
PREPARE, WHOLE = "prepare", "prepare the whole"
# The whole case, where that is not there soon and nobody waits for it.
AT_LAST = "prepare what was put off"
MAKING_READY = "Working out what fits with what"
# The part of the page that is not the workshop.
TALK = "talk"


@dataclass(frozen=True, slots=True)
class Held:
    """A package set aside for comparison, and the vehicle it is for."""

    name: str
    choice: Mapping[str, Option]
    vehicle: str


@dataclass(frozen=True, slots=True)
class StepAnswer:
    """What a step of the job came to: a price, and the parts by position."""

    step: JobStep
    price: int | None
    keys: Mapping[str, str]


@dataclass(slots=True)
class Visit:
    """One visitor's page.

    Parameters
    ----------
    talk
        The job under discussion.
    shelves
        Plugins and catalogs it was begun with.
    system
        Of units; None for those that the rules declare.
    tasks
        Work going on, by name.
    beside
        Packages to compare.
    why
        Position and part that was asked about; empty texts for the job itself, None for nothing.
    proof
        Whether the numbers behind that answer were asked for: they take longer.
    idea
        Position and part whose package is compared with the one without it; None for none.
    refused
        What was wrong with the last thing the visitor did, or opened.
    seen
        State of each task as this run of the page shows it.
    effects
        What options move by themselves, as far as it is known for the case at hand.
    look_up
        Position whose options are looked up, and by what; an empty text for none.
    drawn_at
        When the page was drawn last, by `time.monotonic` [s].
    begun
        Whether a job is under discussion; before, the opening screen is shown.
    part
        Of the page: ``talk``, or the part of the workshop that is open.
    view
        Which part of the talk is open, as the page says.
    turned
        How often the page was turned to another part of the talk from elsewhere, and to which card.
    done
        Number of the last act of the visitor's that was carried out.
    last
        What the talk showed last: it stays in sight until the next answer stands.
    this_step, before_step
        What the step at hand came to, and the one shown before it.
    notes
        What is wrong with a field, by its name: it stays beside the field.
    drawing
        Which drawing to scale is open; an empty text for none.
    typed
        What stands in the fields of the opening screen before a vehicle is picked.
    plans
        What stands in the fields of stages, of the day and of last time, and what was asked with.
    file_text
        Of the file from which the job was opened; empty for one begun here, or from a link.
    priced, moved, built
        Prices of options, what options move by themselves, and what the build shows, as they were
        known last, and for which case: they stay in sight until the next are there.
    """

    talk: Session
    shelves: Library
    system: System | None = None
    tasks: MutableMapping[str, Task] = field(default_factory=dict)
    beside: list[Held] = field(default_factory=list)
    why: tuple[str, str] | None = None
    proof: bool = False
    idea: tuple[str, str] | None = None
    refused: list[str] = field(default_factory=list)
    seen: dict[str, tuple[str, int]] = field(default_factory=dict)
    effects: tuple[Hashable, dict[Hashable, Any]] = field(default_factory=lambda: ("", {}))
    look_up: tuple[str, tuple[FilterCondition, ...]] = ("", ())
    drawn_at: float = 0.0
    begun: bool = True
    part: str = TALK
    view: str = ""
    turned: tuple[int, str] = (0, "")
    done: int = 0
    last: dict[str, Any] = field(default_factory=dict)
    this_step: StepAnswer | None = None
    before_step: StepAnswer | None = None
    notes: dict[str, str] = field(default_factory=dict)
    drawing: str = ""
    typed: dict[str, str] = field(default_factory=dict)
    plans: dict[str, str] = field(default_factory=dict)
    file_text: str = ""
    priced: tuple[Hashable, Mapping[str, list[OptionState]]] = field(default=("", {}))
    moved: tuple[Hashable, Mapping[tuple[str, str], list[Effect]]] = field(default=("", {}))
    built: tuple[str, Mapping[str, Any]] = field(default=("", {}))

    @property
    def job(self) -> Job:
        """The job as it stands."""
        return self.talk.job

    def change(self, job: Job, step: str) -> None:
        """Take a step; work for the job as it was ends."""
        self._turn(lambda: self.talk.change(job, step))

    def undo(self) -> None:
        """Take the last step back."""
        self._turn(self.talk.undo)

    def redo(self) -> None:
        """Take it again."""
        self._turn(self.talk.redo)

    def _turn(self, how: Callable[[], None]) -> None:
        before = self.job
        wholes = {name: self.tasks.pop(name) for name in (WHOLE, AT_LAST) if name in self.tasks}
        self.stop()
        self.why = self.idea = None
        self.proof = False
        self.refused = []
        how()
        if serves_both(before, self.job):
            self.tasks.update(wholes)
            return
        for whole in wholes.values():
            whole.stop()

    def answered(self, price: int | None, keys: Mapping[str, str]) -> None:
        """Note what the step at hand came to, so that the head can say what it changed."""
        step = self.talk.history.steps[self.talk.history.at]
        if self.this_step is None or self.this_step.step is not step:
            self.before_step = self.this_step
        self.this_step = StepAnswer(step, price, keys)

    def turn_to(self, view: str, card: str = "") -> None:
        """Open a part of the talk from elsewhere on the page, and bring a card of it in sight."""
        self.part, self.view = TALK, view
        self.turned = (self.turned[0] + 1, card)

    def open(self, job: Job, file_text: str = "") -> None:
        """Talk about another job, and keep the text of its file if it has one."""
        self.stop()
        self.file_text = file_text
        self.talk = session_for(job, self.shelves)
        self.effects = ("", {})
        self.beside, self.why, self.idea, self.refused = [], None, None, []
        self.proof = False
        self.this_step = self.before_step = None
        self.notes, self.plans = {}, {}
        self.begun = True

    def use(self, shelves: Library) -> None:
        """Go on with other plugins or catalogs: the same job and its history, on the new ones."""
        history = self.talk.history
        self.stop()
        self.shelves = shelves
        self.talk = session_for(history.job, shelves)
        self.talk.history = history
        self.effects = ("", {})
        self.beside, self.why, self.idea, self.refused = [], None, None, []
        self.proof = False

    def rest(self) -> None:
        """Keep the job and its history alone: all else is worked out again when it is asked for."""
        history = self.talk.history
        self.stop()
        self.talk = session_for(history.job, self.shelves)
        self.talk.history = history
        self.effects = ("", {})
        self.priced = ("", {})
        self.moved = ("", {})
        self.built = ("", {})
        self.last = {}

    def stop(self) -> None:
        """End all work."""
        for task in self.tasks.values():
            task.stop()
        self.tasks.clear()

    def work(
        self,
        name: str,
        what: str,
        how: Callable[[Session, Progress], Any],
        wait: float = AT_ONCE,
    ) -> Task:
        """Begin work on the job as it stands, once; return what is known of it."""
        if name not in self.tasks:
            # The thread talks about the job as it is now, whatever is changed meanwhile.
            now = copy.copy(self.talk)
            self.tasks[name] = Task(what, lambda progress: how(now, progress))
            self.tasks[name].wait(wait)
            # Begun by a click, before the page is drawn, it is seen by `progress.begin` as well.
            self.seen[name] = self.tasks[name].stands
        return self.tasks[name]

    def get_ready(self) -> Task | None:
        """Begin to prepare the job if need be; None if its cheapest package can be told.

        What else is asked of it may still wait for the whole case, which is made behind the answer.
        """
        if not self.talk.knows_cheapest:
            patience = STAYS if self.last else AT_ONCE
            task = self.work(PREPARE, MAKING_READY, lambda talk, _: prepare_first(talk), patience)
            if task.state != "done":
                return task
        self.tasks.pop(PREPARE, None)
        if self.talk.is_ready:
            self.tasks.pop(WHOLE, None)
            return None
        if WHOLE in self.tasks and self.tasks[WHOLE].state == "done":
            del self.tasks[WHOLE]  # it was for other figures, or pushed out by others' cases
        task = self.work(WHOLE, MAKING_READY, lambda talk, _: prepare(talk), 0.0)
        return task if task.state in ("stopped", "failed") else None


def refuse(visit: Visit, problem: FitwrightError) -> None:
    """Keep what was wrong, to be said on the page."""
    if isinstance(problem, InputError):
        visit.refused = [str(detail) for detail in problem.problems]
    else:
        visit.refused = [str(problem)]


def current() -> Visit:
    """Return this visitor's page; a new one finds the job of the link, or the opening screen."""
    shelves = library()
    visit: Visit | None = st.session_state.get("visit")
    if visit is None:
        visit = Visit(session_for(_first(shelves), shelves), shelves, begun=False)
        st.session_state["visit"] = visit
        part = st.query_params.get(PART, TALK)
        visit.part = TALK if part in VIEWS_OF_TALK else part
        visit.view = part if part in VIEWS_OF_TALK else ""
        parameter = st.query_params.get(PARAMETER)
        if parameter:
            try:
                visit.open(job_link.from_parameter(parameter, shelves.trade))
            except FitwrightError as problem:
                refuse(visit, problem)
        uploaded = st.query_params.get(UPLOADED)
        if uploaded:
            visit.refused.append(
                f"this job was open with an uploaded list ({uploaded[:60]}), which a link does not "
                "carry: it is shown with the shop's own lists; upload the list again to use it"
            )
    own = visit.shelves.own
    if (visit.shelves if own is None else own.shop) is not shelves:
        # Plugins and catalogs were read anew.
        visit.use(shelves)
        if own is not None:
            visit.refused = [
                f"catalogs were read again: the uploaded {own.what} is no longer in use; "
                "check it again to use it"
            ]
    closed_tabs.watch(visit)
    return visit


def _first(shelves: Library) -> Job:
    jobs = ready_jobs(shelves)
    return job_files.read_job(jobs.get(FIRST_JOB) or next(iter(jobs.values())), shelves.trade)


def keep_in_link(visit: Visit, saved: str = "") -> None:
    """Keep the job and the part of the page in the address: reloading loses nothing.

    ``saved`` says from which saved job it goes on.
    """
    wanted: dict[str, str] = {}
    if visit.begun:
        # One that is too long for a link is not in it: the part on sharing says so.
        with suppress(InputError):
            wanted[PARAMETER] = job_link.to_parameter(visit.job, visit.shelves.trade)
        if visit.shelves.own is not None:
            wanted[UPLOADED] = visit.shelves.own.what
    if saved:
        wanted[SAVED] = saved
    if visit.part != TALK:
        wanted[PART] = visit.part
    elif visit.begun and visit.view in VIEWS_OF_TALK:
        wanted[PART] = visit.view
    if DRAFT in st.query_params:
        wanted[DRAFT] = st.query_params[DRAFT]
    if st.query_params.to_dict() != wanted:
        st.query_params.from_dict(wanted)


def go_to_address(visit: Visit, parameter: str, part: str) -> None:
    """Follow the browser's Back and Forward: an undo or a redo where the address is of one."""
    visit.part = TALK if part in VIEWS_OF_TALK or not part else part
    visit.view = part if part in VIEWS_OF_TALK else ""
    if not parameter:
        visit.stop()
        visit.begun = False
        return
    visit.begun = True
    trade, history = visit.shelves.trade, visit.talk.history
    try:
        if parameter == job_link.to_parameter(visit.job, trade):
            return
        for at, how in ((history.at - 1, visit.undo), (history.at + 1, visit.redo)):
            if 0 <= at < len(history.steps):
                step = history.steps[at]
                if parameter == job_link.to_parameter(step.job, trade):
                    how()
                    return
        visit.change(job_link.from_parameter(parameter, trade), "go back in the browser")
    except FitwrightError as problem:
        refuse(visit, problem)
