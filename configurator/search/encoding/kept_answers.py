"""What bundled rules answered, kept on disk: the same values are not put to the same code twice.

Asking rules is most of the work of opening a job. What a rule answers hangs on its inputs and its
code alone, so an answer is named by a hash of both: all combinations of values that the rule was
asked for, and every module that its code may call. Only rules that come with Fitwright are kept;
what the code of others calls cannot be known.
"""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any

import numpy as np

import configurator
from configurator.core import paths
from configurator.core.code_digest import code_digest
from configurator.core.deferred import catch_up, when_shown
from configurator.loading.plugin_files import BUNDLED_MODULES
from configurator.model.parts import Missing
from configurator.model.rules import Figure
from configurator.model.taken_with import unguarded
from configurator.search.encoding.kept_bytes import KeptBytes
from configurator.search.limits import LIMITS

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.parts import Value
    from configurator.model.rules import Rule
    from configurator.search.encoding.kept_bytes import Piece
    from configurator.search.encoding.scopes import Span
    from configurator.search.limits import Limits

# What a rule's answer may hang on: packages of Fitwright, beside the bundled plugins.
_CALLED = ("core", "formulas", "model", "loading", "evaluation", "search/encoding")


def _code() -> str:
    package = paths.package()
    return code_digest([paths.plugins(), *(package / name for name in _CALLED)])


class KeptAnswers:
    """The answers that are kept for a vehicle, read when the first rule is asked.

    Parameters
    ----------
    evaluation
        Whose vehicle it is.
    limits
        How much is kept.

    Attributes
    ----------
    propagated
        What is kept beside them of what tolerances do to values: see `kept_values`.
    """

    def __init__(self, evaluation: Evaluation, limits: Limits = LIMITS) -> None:
        catch_up()  # what waits to be kept is looked for
        code = _code()
        named = (configurator.__version__, code, evaluation.case.vehicle.key)
        name = hashlib.sha256(repr(named).encode()).hexdigest()
        self._kept = KeptBytes(f"{name}-answers" if code else "", limits.answer_bytes)
        self.propagated = KeptBytes(f"{name}-tolerances" if code else "", limits.propagated_bytes)

    def ask(self, rule: Rule, span: Span, work_out: Callable[[], Any]) -> Any:
        """Return what a rule answers for all combinations: as it is kept, or else worked out."""
        if not self._kept.usable or not is_bundled(rule):
            return work_out()
        key = _key(rule, span)
        written = self._kept.look_up(key)
        answers = None if written is None else _unwritten(written, span.rows)
        if answers is None:
            answers = work_out()
            written = _written(answers)
        if written is not None:
            self._kept.note(key, written)
        return answers

    def save(self) -> None:
        """Keep what was asked for, and of what was kept before what there is room for.

        What tolerances did is megabytes, and waits until the answer is shown.
        """
        self._kept.save()
        when_shown(self.propagated.save)


def is_bundled(rule: Rule) -> bool:
    """Whether a rule's function comes with Fitwright, so that all its code is known."""
    module = getattr(unguarded(rule.function), "__module__", None) or ""
    return module.startswith(f"{BUNDLED_MODULES}.")


def told_by(rule: Rule) -> tuple[object, ...]:
    """Give what tells a rule's answers from those of any other, beside its code."""
    inputs = [(item.parameter, item.takes_missing) for item in rule.inputs]
    declared: tuple[object, ...] = ()
    if isinstance(rule, Figure):
        declared = rule.unit, rule.resolution, rule.rounding
    function = unguarded(rule.function)
    guards = getattr(rule.function, "guards", ())
    module, name = (getattr(function, at, "") for at in ("__module__", "__qualname__"))
    named = module, name, repr(guards)
    return type(rule).__name__, rule.name, named, declared, inputs


def _key(rule: Rule, span: Span) -> bytes:
    """Hash what an answer hangs on beside the code: what the rule is, and all it is asked."""
    numbers = {variable: number for number, variable in enumerate(span.variables)}
    terms = [
        f"variable {numbers[term.variable]}" if term.variable >= 0 else text_of(term.value)
        for term in span.terms
    ]
    digest = hashlib.sha256(repr((told_by(rule), terms)).encode())
    domains, groups = span.key
    digest.update(repr([[text_of(value) for value in domain] for domain in domains]).encode())
    for rows in groups:
        digest.update(f"{len(rows)} ".encode() + rows)
    return digest.digest()


def text_of(value: Value | None) -> str:
    """Write a value so that no other one is written alike: 1, 1.0 and True are three."""
    if isinstance(value, frozenset):
        return f"set {sorted(value)!r}"
    return f"{type(value).__name__} {value!r}"


def _written(answers: Any) -> bytes | None:
    """Write answers as they will be read; None if they are of a kind that is not kept."""
    if isinstance(answers, np.ndarray):
        return b"?" + answers.astype(np.uint8).tobytes() if answers.dtype == np.bool_ else None
    return values_written(answers)


def values_written(values: Sequence[Value]) -> bytes | None:
    """Write values as they will be read; None if they are of a kind that is not kept."""
    if not all(type(value) in _PLAIN for value in values):
        return None
    return json.dumps(list(values), default=_marked).encode()


def values_unwritten(written: Piece) -> list[Value]:
    """Read what `values_written` wrote."""
    values: list[Value] = json.loads(bytes(written), object_hook=_unmarked)
    return values


_PLAIN = frozenset({float, int, bool, str, Missing, frozenset})


def _marked(value: Any) -> dict[str, Any]:
    if isinstance(value, Missing):
        return {"missing": value.name}
    return {"set": sorted(value)}


def _unmarked(marked: dict[str, Any]) -> Value:
    if "missing" in marked:
        return Missing[marked["missing"]]
    return frozenset(marked["set"])


def _unwritten(written: Piece, rows: int) -> Any:
    """Read answers; None if they are not as many as were asked for."""
    answers: Any
    if written[:1] == b"?":
        answers = np.frombuffer(written, np.uint8, offset=1).astype(np.bool_)
    else:
        answers = values_unwritten(written)
    return answers if len(answers) == rows else None
