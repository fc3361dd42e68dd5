"""What choices force, kept on disk: the same case and choice are not worked out twice.

What is kept is named by a hash of all that it hangs on, the case, the job and the code that takes
part, and only where all rules come with Fitwright: see `questions.kept_outcomes`.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import fields
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator import __version__
from configurator.consequences.shared_properties import SharedProperty
from configurator.consequences.upgrade_records import Arrow, Forced, Kept, Untouched
from configurator.core import paths
from configurator.core.code_digest import code_digest
from configurator.core.deferred import when_shown
from configurator.model.knowledge import checked_rules
from configurator.model.parts import Missing
from configurator.model.requirements import Wish
from configurator.questions.kept_outcomes import digest_of
from configurator.search.encoding.kept_bytes import KeptBytes
from configurator.search.explanation.reasons import Reason

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.consequences.upgrade_records import Reading
    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.rules import Rule
    from configurator.search.limits import Limits

# What an answer may hang on: packages of Fitwright, beside the bundled plugins.
_CALLED = (
    *("core", "formulas", "model", "loading", "evaluation", "search", "questions"),
    "consequences",
)
_RECORDS = {
    record.__name__: record for record in (Arrow, Kept, Untouched, SharedProperty, Reason, Wish)
}


class KeptConsequences:
    """What choices of a case force, as it was worked out before.

    Parameters
    ----------
    evaluation, limits
        The case, and how much may be tried and kept.
    reading, numbers, inputs
        As for `upgrades.forces_each`.
    """

    def __init__(
        self,
        evaluation: Evaluation,
        limits: Limits,
        reading: Reading,
        *,
        numbers: bool,
        inputs: bool,
    ) -> None:
        self._asked = (reading, numbers, inputs)
        self._rules = {_named(rule): rule for rule in checked_rules(evaluation.trade)}
        code = code_digest([paths.plugins(), *(paths.package() / name for name in _CALLED)])
        self._case = digest_of(evaluation, evaluation.case.job, limits, code)
        of_vehicle = repr((__version__, code, evaluation.case.vehicle.key))
        name = hashlib.sha256(of_vehicle.encode()).hexdigest()
        self._kept = KeptBytes(f"{name}-forced" if self._case else "", limits.forced_bytes)

    def look_up(self, option: Option) -> Forced | None:
        """Give what a choice forces; None if it was not worked out before, or may not be kept."""
        written = self._kept.look_up(self._key(option)) if self._kept.usable else None
        if written is None:
            return None
        try:
            forced = Forced(option, *_restored(json.loads(bytes(written)), self._rules))
        except (ValueError, KeyError, TypeError):
            return None  # under a digest that holds: what was written is not what is read
        self._kept.note(self._key(option), written)
        return forced

    def look_up_all(self, options: Sequence[Option]) -> list[Forced] | None:
        """Give what each of several choices forces; None if that is not known of all."""
        known = [forced for option in options if (forced := self.look_up(option)) is not None]
        return known if len(known) == len(options) else None

    def note(self, forced: Forced) -> None:
        """Keep what a choice forces with the next `save`."""
        listed = [getattr(forced, item.name) for item in fields(forced) if item.name != "option"]
        self._kept.note(self._key(forced.option), json.dumps(_written(listed)).encode())

    def save(self) -> None:
        """Keep what was noted, once the answer is shown."""
        when_shown(self._kept.save)

    def _key(self, option: Option) -> bytes:
        asked = (self._case, *self._asked, option.position, option.key, option.changed)
        return hashlib.sha256(repr(asked).encode()).digest()


def _named(rule: Rule) -> tuple[str, str]:
    return type(rule).__name__, rule.name


def _written(value: Any) -> Any:
    """Write a value so that `_restored` gives one that equals it."""
    if type(value).__name__ in _RECORDS:
        parts = [_written(getattr(value, item.name)) for item in fields(value)]
        return {"record": type(value).__name__, "fields": parts}
    if isinstance(value, tuple | list):
        return [_written(item) for item in value]
    if isinstance(value, frozenset):
        return {"set": sorted(value)}
    if isinstance(value, Missing):
        return {"missing": value.name}
    if isinstance(value, np.generic):
        return value.item()
    if value is None or isinstance(value, str | int | float):
        return value
    return {"rule": _named(value)}


def _restored(value: Any, rules: Mapping[tuple[str, str], Rule]) -> Any:
    if isinstance(value, list):
        return tuple(_restored(item, rules) for item in value)
    if not isinstance(value, dict):
        return value
    if "record" in value:
        record: Any = _RECORDS[value["record"]]
        return record(*_restored(value["fields"], rules))
    if "set" in value:
        return frozenset(value["set"])
    if "missing" in value:
        return Missing[value["missing"]]
    kind, name = value["rule"]
    return rules[kind, name]
