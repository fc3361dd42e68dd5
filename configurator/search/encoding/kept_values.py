"""What tolerances do to figures and limits, kept: the same propagation is not done twice.

How far values may be off is most of the work of making a case ready for what is sure. It hangs on
the values that a rule reads, on what moves these, and on the rule's code, whatever else differs
from case to case: so it is named by a hash of them, as answers are (`kept_answers`). It is kept
with the evaluation for its other cases, and on disk where the rule comes with Fitwright.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np

from configurator.search.encoding.kept_answers import (
    is_bundled,
    text_of,
    told_by,
    values_unwritten,
    values_written,
)
from configurator.search.encoding.kept_bytes import KEY_BYTES
from configurator.search.encoding.value_columns import ValueColumn

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.propagation import Propagation, Source
    from configurator.model.rules import Figure, Limit, Rule
    from configurator.search.encoding.asked_values import AskedValues, JointValue
    from configurator.search.encoding.kept_bytes import KeptBytes, Piece

    Flags = NDArray[np.bool_]

T = TypeVar("T")

# Parts that the values of a figure are written in.
PARTS = 10


@dataclass(frozen=True, slots=True)
class FigureValues:
    """What a figure comes to for distinct combinations of what it reads.

    Parameters
    ----------
    kind
        For each combination the number of its value.
    rounded, exact
        Each distinct value as it is rounded, and as the functions give it with nothing rounded.
    sources, effects
        As of `JointValue`.
    """

    kind: NDArray[np.int64]
    rounded: ValueColumn
    exact: ValueColumn
    sources: Sequence[Source]
    effects: NDArray[np.float64]


def named(value: JointValue) -> JointValue:
    """Name a value by all that it comes to, and what moves it."""
    digest = hashlib.blake2b(repr(tuple(value.sources)).encode(), digest_size=KEY_BYTES)
    for values in (value.rounded, value.exact):
        digest.update(repr([text_of(each) for each in values.others]).encode())
        digest.update(values.kinds.tobytes() + values.numbers.tobytes())
    digest.update(np.ascontiguousarray(value.effects).tobytes())
    return replace(value, digest=digest.digest())


class KeptValues:
    """What is known of figures and limits under tolerances.

    Parameters
    ----------
    stands
        The vehicle as it stands.
    answers
        Where an evaluation keeps what was worked out.
    on_disk
        What was kept before; None to look at nothing and keep nothing.
    """

    def __init__(
        self, stands: Propagation, answers: dict[Any, Any], on_disk: KeptBytes | None = None
    ) -> None:
        self.stands = stands
        self._answers, self.on_disk = answers, on_disk

    def figure(
        self, rule: Figure, given: AskedValues, work_out: Callable[[], FigureValues]
    ) -> tuple[FigureValues, bytes]:
        """Return what a figure comes to, as it is kept or else worked out; and what names it.

        Values that hang on the same are the same: what they hang on names them.
        """
        tolerance = self.stands.evaluation.tolerances.of_figure(rule.name)
        beside: tuple[object, ...] = ()
        if tolerance is not None:
            measures = [text_of(each) for each in self.stands.measures_of(rule)]
            beside = (repr(tolerance), text_of(self.stands.figure(rule.name).exact), measures)
        key = _key(rule, given, beside)

        def read(written: Piece) -> FigureValues | None:
            return _figure_unwritten(written, len(given))

        return self._recalled(rule, key, work_out, read, _figure_written), key

    def sure(
        self, rule: Limit, given: AskedValues, wanted: Flags | None, work_out: Callable[[], Flags]
    ) -> Flags:
        """Return which combinations keep a limit surely: as it is kept, or else worked out."""
        before, evaluation = self.stands.margin(rule), self.stands.evaluation
        bounds = [
            (
                evaluation.bound(rule, bound, {}) if isinstance(bound, int | float) else str(bound),
                evaluation.tolerances.allowed_in(rule, bound),
            )
            for bound in (rule.at_least, rule.at_most)
            if bound is not None
        ]
        margin = None if before is None else before.margin
        kinds = (rule.at_least is None, rule.at_most is None, bounds, margin)
        key = _key(rule, given, kinds, b"" if wanted is None else np.packbits(wanted).tobytes())

        def read(written: Piece) -> Flags | None:
            return np.frombuffer(written, np.bool_) if len(written) == len(given) else None

        return self._recalled(rule, key, work_out, read, lambda known: known.tobytes())

    def _recalled(
        self,
        rule: Rule,
        key: bytes,
        work_out: Callable[[], T],
        read: Callable[[Piece], T | None],
        write: Callable[[T], bytes | None],
    ) -> T:
        """Return an outcome as it is known, or kept, or else worked out."""
        if key not in self._answers:
            disk = self.on_disk
            if disk is not None and not (disk.usable and is_bundled(rule)):
                disk = None
            written = None if disk is None else disk.look_up(key)
            known = None if written is None else read(written)
            if known is None:
                known = worked = work_out()
                if disk is not None:
                    disk.note_unwritten(key, lambda: write(worked))
            elif disk is not None and written is not None:
                disk.note(key, written)
            self._answers[key] = known
        outcome: T = self._answers[key]
        return outcome


def _key(rule: Rule, given: AskedValues, beside: tuple[object, ...], wanted: bytes = b"") -> bytes:
    """Hash what an outcome hangs on beside the code."""
    digest = hashlib.blake2b(repr((told_by(rule), beside)).encode(), digest_size=KEY_BYTES)
    digest.update(repr((len(given), len(given.inputs), len(wanted))).encode() + wanted)
    for value, rows in zip(given.inputs, given.rows, strict=True):
        if not value.digest:
            message = f"{rule.name!r} reads what has no name"
            raise ValueError(message)
        digest.update(value.digest)
        digest.update(rows.astype(np.int32).tobytes())
    return digest.digest()


def _figure_written(known: FigureValues) -> bytes | None:
    """Write values as they will be read; None if they are of a kind that is not kept."""
    columns = [known.rounded, known.exact]
    others = [values_written(column.others) for column in columns]
    if None in others:
        return None
    sources = json.dumps([list(source) for source in known.sources]).encode()
    kind = known.kind.astype(np.int32).tobytes()
    moving = known.effects != 0.0
    effects = np.packbits(moving).tobytes(), known.effects[moving].tobytes()
    numbers = [part.tobytes() for column in columns for part in (column.numbers, column.kinds)]
    parts: list[Any] = [*others, *numbers, sources, kind, *effects]
    lengths = np.array([len(part) for part in parts], np.int64).tobytes()
    return lengths + b"".join(parts)


def _figure_unwritten(written: Piece, many: int) -> FigureValues | None:
    """Read values; None if they are not of as many combinations as are asked for."""
    lengths = np.frombuffer(written, np.int64, PARTS).tolist()
    ends = (8 * PARTS + np.cumsum(lengths)).tolist()
    parts = [written[end - length : end] for length, end in zip(lengths, ends, strict=True)]
    rounded, exact = (
        ValueColumn(
            np.frombuffer(parts[2 + 2 * n]),
            np.frombuffer(parts[3 + 2 * n], np.int32),
            tuple(values_unwritten(parts[n])),
        )
        for n in range(2)
    )
    sources = tuple((kind, name, rest) for kind, name, rest in json.loads(bytes(parts[6])))
    kind = np.frombuffer(parts[7], np.int32).astype(np.int64)
    shape = len(exact), len(sources)
    moving, amounts = np.frombuffer(parts[8], np.uint8), np.frombuffer(parts[9], np.float64)
    sound = len(rounded) == len(exact) and len(moving) == -(-shape[0] * shape[1] // 8)
    sound = sound and all(
        len(column.kinds) == len(column) and int(column.kinds.max(initial=-1)) < len(column.others)
        for column in (rounded, exact)
    )
    if not sound or len(kind) != many or int(kind.max(initial=-1)) >= len(exact):
        return None
    effects, moved = np.zeros(shape), np.unpackbits(moving, count=shape[0] * shape[1])
    if int(moved.sum()) != len(amounts):
        return None
    effects[moved.reshape(shape) > 0] = amounts
    return FigureValues(kind, rounded, exact, sources, effects)
