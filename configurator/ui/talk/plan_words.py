"""What the page says about stages, the day a job is ready, and last time."""

from __future__ import annotations

BUDGETS_EMPTY = "write the budget of each stage, such as 6,000; 6,500"
DAY_WRONG = "{text} is no day; write it as 2026-12-18"
DAY_NOT_NOW = "{day} is not of this time; check the year"
DAY_TOO_EARLY = "{day} is before the parts are ordered; name a later day"
NUMBER_EMPTY = "write the number of a saved quotation, such as 2026-0001"
NOTHING_SAVED = "nothing was saved yet: save a quotation first"
NO_PACKAGE = "no package meets the goals, so that there is nothing to split"

STAGES = "Splitting the package into stages"
READY = "Looking for what is ready when"
AGAIN = "Looking for what changes least"
VEHICLES = "{done} of up to {of} vehicles in between"
DAYS = "{done} of up to {of} delivery times"

WORK = "Work for {price}: {operations}"
STAGE = "Stage {number}"
ASKED = "Within {budgets}"
STOPPED = "Stopped."
NOTHING_LIKE = "Nothing fits this job, whatever changes."
NOTHING_READY = "Nothing fits, however long you wait."
