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
from configurator.core import paths, sealed_arrays
from configurator.core.code_digest import code_digest
from configurator.loading.plugin_files import BUNDLED_MODULES
from configurator.model.parts import Missing
from configurator.model.rules import Figure
from configurator.model.taken_with import unguarded
from configurator.search.limits import LIMITS

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.parts import Value
    from configurator.model.rules import Rule
    from configurator.search.encoding.scopes import Span
    from configurator.search.limits import Limits

# What a rule's answer may hang on: packages of Fitwright, beside the bundled plugins.
_CALLED = ("core", "formulas", "model", "loading", "evaluation", "search/encoding")
_KEY = 32


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
    """

    def __init__(self, evaluation: Evaluation, limits: Limits = LIMITS) -> None:
        self._most = limits.answer_bytes
        self._code = _code()
        named = (configurator.__version__, self._code, evaluation.case.vehicle.key)
        self._name = f"{hashlib.sha256(repr(named).encode()).hexdigest()}-answers"
        self._before = _read(self._name) if self._code else {}
        self._now: dict[bytes, bytes] = {}

    def ask(self, rule: Rule, span: Span, work_out: Callable[[], Any]) -> Any:
        """Return what a rule answers for all combinations: as it is kept, or else worked out."""
        module = getattr(unguarded(rule.function), "__module__", None) or ""
        if not self._code or not module.startswith(f"{BUNDLED_MODULES}."):
            return work_out()
        key = _key(rule, span)
        written = self._now.get(key) or self._before.get(key)
        answers = None if written is None else _unwritten(written, span.rows)
        if answers is None:
            answers = work_out()
            written = _written(answers)
        if written is not None:
            self._now[key] = written
        return answers

    def save(self) -> None:
        """Keep what was asked for, and of what was kept before what there is room for."""
        if self._now.keys() <= self._before.keys():
            return
        kept = dict(self._now)
        room = self._most - sum(map(len, kept.values()))
        for key, written in self._before.items():
            if key not in kept and len(written) <= room:
                kept[key] = written
                room -= len(written)
        texts = b"".join(kept.values())
        sealed_arrays.write(
            self._name,
            {
                "keys": np.frombuffer(b"".join(kept), np.uint8),
                "lengths": np.array([len(written) for written in kept.values()], np.int64),
                "answers": np.frombuffer(texts, np.uint8),
            },
        )


def _read(name: str) -> dict[bytes, bytes]:
    arrays = sealed_arrays.read(name)
    if arrays is None:
        return {}
    keys, answers = arrays["keys"].tobytes(), arrays["answers"].tobytes()
    ends = np.cumsum(arrays["lengths"])
    begins = (ends - arrays["lengths"]).tolist()
    return {
        keys[number * _KEY : (number + 1) * _KEY]: answers[begin:end]
        for number, (begin, end) in enumerate(zip(begins, ends.tolist(), strict=True))
    }


def _key(rule: Rule, span: Span) -> bytes:
    """Hash what an answer hangs on beside the code: what the rule is, and all it is asked."""
    numbers = {variable: number for number, variable in enumerate(span.variables)}
    inputs = [(item.parameter, item.takes_missing) for item in rule.inputs]
    terms = [
        f"variable {numbers[term.variable]}" if term.variable >= 0 else _text(term.value)
        for term in span.terms
    ]
    declared: tuple[object, ...] = ()
    if isinstance(rule, Figure):
        declared = rule.unit, rule.resolution, rule.rounding
    digest = hashlib.sha256()
    function = unguarded(rule.function)
    guards = getattr(rule.function, "guards", ())
    named = function.__module__, function.__qualname__, repr(guards)
    digest.update(repr((type(rule).__name__, rule.name, named, declared, inputs, terms)).encode())
    domains, groups = span.key
    digest.update(repr([[_text(value) for value in domain] for domain in domains]).encode())
    for rows in groups:
        digest.update(f"{len(rows)} ".encode() + rows)
    return digest.digest()


def _text(value: Value | None) -> str:
    """Write a value so that no other one is written alike: 1, 1.0 and True are three."""
    if isinstance(value, frozenset):
        return f"set {sorted(value)!r}"
    return f"{type(value).__name__} {value!r}"


def _written(answers: Any) -> bytes | None:
    """Write answers as they will be read; None if they are of a kind that is not kept."""
    if isinstance(answers, np.ndarray):
        return b"?" + answers.astype(np.uint8).tobytes() if answers.dtype == np.bool_ else None
    if not all(type(answer) in _PLAIN for answer in answers):
        return None
    return json.dumps(answers, default=_marked).encode()


_PLAIN = frozenset({float, int, bool, str, Missing, frozenset})


def _marked(value: Any) -> dict[str, Any]:
    if isinstance(value, Missing):
        return {"missing": value.name}
    return {"set": sorted(value)}


def _unmarked(marked: dict[str, Any]) -> Value:
    if "missing" in marked:
        return Missing[marked["missing"]]
    return frozenset(marked["set"])


def _unwritten(written: bytes, rows: int) -> Any:
    """Read answers; None if they are not as many as were asked for."""
    answers: Any
    if written[:1] == b"?":
        answers = np.frombuffer(written, np.uint8, offset=1).astype(np.bool_)
    else:
        answers = json.loads(written, object_hook=_unmarked)
    return answers if len(answers) == rows else None
