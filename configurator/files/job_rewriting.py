"""Put what changed in a job into the text of its file; all else stays as somebody wrote it."""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING, Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from configurator.core.errors import InputError
from configurator.files.job_text import FORMER_KEYS, read_job
from configurator.files.job_writing import write_job

if TYPE_CHECKING:
    from collections.abc import Mapping, MutableMapping

    from configurator.model.jobs import Job
    from configurator.model.knowledge import Trade

    Table = MutableMapping[str, Any]


def rewrite_job(text: str, job: Job, trade: Trade) -> str:
    """Return the text of a job's file with what changed replaced.

    Comments, order, and how unchanged values are written stay. A comment above a heading goes with
    what stands before it. Where the file is laid out so that a change cannot be put in, the job is
    written anew, as `write_job` does.

    Parameters
    ----------
    text
        Of the file, as it was read.
    job
        As it is now; values as they are read.
    trade
        Knows the units in which values are written.

    Raises
    ------
    InputError
        If the text is no job: with everything that is wrong with it.
    """
    known = read_job(text, trade)
    if known == job:
        return text
    after = tomllib.loads(write_job(job, trade))
    try:
        document = tomlkit.parse(text)
        before = tomllib.loads(write_job(known, trade))
        if known.currency != job.currency:  # it may be said of what is written without it
            document.pop("currency", None)
            before.pop("currency", None)
        plain = {
            key: value
            for key, value in after.items()
            if key not in before and not isinstance(value, dict)
        }
        document = _with_values(document, plain)
        _put(document, {**before, **plain}, after, {**FORMER_KEYS, **trade.former_names})
        _in_order(document, [goal.figure for goal in job.goals], trade.former_names)
        changed = tomlkit.dumps(document)
        if read_job(changed, trade) == job:
            return changed
    except (TOMLKitError, InputError):
        pass  # a table in several pieces, for one
    return write_job(job, trade)


def _with_values(document: tomlkit.TOMLDocument, values: Mapping[str, Any]) -> tomlkit.TOMLDocument:
    """Put values behind the last one above all tables, before comments on the first table."""
    if not values:
        return document
    at = max(n for n, (key, item) in enumerate(document.body) if key and not _is_table(item))
    result = tomlkit.TOMLDocument(parsed=True)  # as it stands: no blank line is added
    for number, (key, item) in enumerate(document.body):
        result.append(key, item)
        if number == at:
            for name, value in values.items():
                result.append(name, tomlkit.item(value))
    result.parsing(False)
    return result


def _is_table(item: object) -> bool:
    return isinstance(item, tomlkit.items.Table | tomlkit.container.OutOfOrderTableProxy)


def _put(
    table: Table, before: Mapping[str, Any], after: Mapping[str, Any], former: Mapping[str, str]
) -> None:
    """Change a table where what is wanted differs from what it says."""
    written = {former.get(key, key): key for key in table}
    for key in before.keys() - after.keys():
        del table[written[key]]
    for key, value in after.items():
        if before.get(key) == value:
            continue
        name = written.get(key, key)
        if isinstance(value, dict) and name in table:
            _put(table[name], before.get(key, {}), value, former)
        else:
            table[name] = _table(value) if isinstance(value, dict) else value


def _table(values: Mapping[str, Any]) -> tomlkit.items.Table:
    """Make a table of its own, a blank line before it."""
    table = tomlkit.table(is_super_table=all(isinstance(each, dict) for each in values.values()))
    table.trivia.indent = "\n"
    for key, value in values.items():
        table[key] = _table(value) if isinstance(value, dict) else value
    return table


def _in_order(document: Table, figures: list[str], former: Mapping[str, str]) -> None:
    """Put the goals into their order, the most important first, where they are not."""
    goals = document.get("goals", {})
    written = {former.get(key, key): key for key in goals}
    if [key for key in written if key in figures] == figures:
        return
    moved = {written[figure]: goals.pop(written[figure]) for figure in figures}
    for key, goal in moved.items():
        goals[key] = goal
