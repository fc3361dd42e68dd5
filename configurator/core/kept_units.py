"""Answers about units kept on disk, so that a command need not load the library that knows them.

The file says what it was made of: a digest of that library's version and of the modules that ask
it, and a digest of the answers. One that is damaged, or made by others, is left aside
and made anew. Nothing depends on it being there.
"""

from __future__ import annotations

import hashlib
import json
from functools import cache
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path
from typing import TYPE_CHECKING, Any

from configurator.core import atomic_files, paths, unit_spellings, units
from configurator.core.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Callable

NAME = "units.json"


def _pair(answer: Any) -> bool:
    return isinstance(answer, list) and len(answer) == 2 and all(type(it) is float for it in answer)


def _text(answer: Any) -> bool:
    return isinstance(answer, str)


# What an answer to a question looks like in the file.
_SOUND: dict[str, Callable[[Any], bool]] = {
    "to_si": _pair,
    "dimension": _text,
    "kind_of_unit": _text,
}


def place() -> Path:
    """Say where the file is."""
    return paths.user_folder() / "circuits" / NAME


@cache
def _origin() -> str:
    """Name what the answers are from, as it was when it was first asked: soon after the start."""
    try:
        source = [Path(str(module.__file__)).read_bytes() for module in (units, unit_spellings)]
        # Its metadata as text: to have them read would take longer than all else here.
        metadata = distribution("pint").read_text("METADATA")
    except (OSError, PackageNotFoundError):  # installed without sources: nothing tells versions
        return ""
    return hashlib.sha256(b"".join([*source, metadata.encode()])).hexdigest() if metadata else ""


def _digest(origin: str, answers: object) -> str:
    text = json.dumps([origin, answers], sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def load() -> None:
    """Take over the answers that are kept, beside those that are remembered already."""
    try:
        kept = json.loads(place().read_text(encoding="utf-8"))
        origin, answers = kept["origin"], kept["answers"]
        if not origin or origin != _origin() or kept["digest"] != _digest(origin, answers):
            return
        if answers.keys() != _SOUND.keys():
            return
        for question, sound in _SOUND.items():
            if not all(sound(answer) for answer in answers[question].values()):
                return
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return  # not there, or whatever a damaged file makes of itself
    for question, known in answers.items():
        for text, answer in known.items():
            value = tuple(answer) if isinstance(answer, list) else answer
            units.ANSWERS[question].setdefault(text, value)


def save() -> None:
    """Keep what is remembered, where a folder for what can be made anew is there already."""
    path, origin = place(), _origin()
    if not origin or not path.parent.is_dir():
        return
    answers = {question: dict(sorted(units.ANSWERS[question].items())) for question in _SOUND}
    answers = json.loads(json.dumps(answers))  # as it will be read
    kept = {"origin": origin, "digest": _digest(origin, answers), "answers": answers}
    text = json.dumps(kept)
    try:
        if path.read_text(encoding="utf-8") == text:
            return
    except (OSError, ValueError):
        pass
    try:
        atomic_files.write_atomically(path, text, private=True)
    except InputError:  # a disk that is full is no reason to fail
        return
