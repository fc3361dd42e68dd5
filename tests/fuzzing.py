"""What the fuzz tests of all readers share: no input makes a traceback.

``make test`` draws the same cases every time; ``make fuzz FUZZ_MINUTES=10`` draws new ones for as
long as it is told. What it finds is mended and stays as an ``@example`` of its test.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from configurator.core.errors import FitwrightError, InputError

SETTINGS = settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)

# Pieces that mean something to the readers, among any text at all.
CELLS = st.one_of(
    st.text(max_size=12),
    st.sampled_from(
        [
            "", "A1", "762", "31.5 in", "1/2", "1.234,5", "1,234", "nan", "-1e400", "5-Apr",
            "2005-04-05", "yes", "12 degC*mm", "1 dB", "3 m**999", "1 mm/mm", "5 '", '5 "', "½",
            "٣", "²", "1_0", "+", "-", ".", ",", "e5", "0x10", "tyres|spare tyre", "\x00", "\ud7ff",
            "9" * 400, "1 " + "m" * 300, "1 mm*mm*mm*mm*mm*mm*mm*mm", "inf mm", "1e5 EUR",
            "1e308 mm", "1e-320 kg", "-0", "٣ EUR", "12 XXX", "9999-12-31", "0001-01-01",
        ]
    ),
    st.floats().map(str),
)  # fmt: skip

# Values of TOML, nested as they should not be; the words are those of the file that is read.
_TOML_VALUES = [
    '""', "0", "-1", "1e999", "1e308", "nan", "true", "2026-10-01", "9999-12-31", "07:32:00",
    "2026-10-01T07:32:00Z", "'x'", '"lists/A1"', '"12 mm"', '"1900 rpm"', '"none"', '"fitted"',
    '"99 EUR"', '"0 EUR"', '"1e308 mm"', '"٣ mm"', '"5 XXX"', '"\\u0000"', '"\\n"', '" x "',
    '"high"', "99999999999999999999", '"./lists"', '"/"', '"../.."', '"."', '"a/../../b"',
]  # fmt: skip


def toml_values(words: tuple[str, ...]) -> st.SearchStrategy[str]:
    """Draw values of TOML whose tables have these keys."""
    return st.recursive(
        st.sampled_from(_TOML_VALUES),
        lambda inner: (
            st.lists(inner, max_size=3).map(lambda v: f"[{', '.join(v)}]")
            | st.tuples(st.sampled_from(words), inner).map(lambda v: f"{{ {v[0]} = {v[1]} }}")
        ),
        max_leaves=4,
    )


def toml_texts(words: tuple[str, ...]) -> st.SearchStrategy[str]:
    """Draw TOML texts whose top keys are among these."""
    entries = st.lists(
        st.tuples(st.sampled_from(words), toml_values(words)), unique_by=lambda entry: entry[0]
    )
    return entries.map(lambda rows: "\n".join(f"{key} = {value}" for key, value in rows))


def exchanged(text: str) -> st.SearchStrategy[str]:
    """Draw a sound text with a piece of it exchanged."""
    return st.tuples(
        st.integers(0, len(text)), st.integers(0, 12), st.text(max_size=6) | CELLS
    ).map(lambda drawn: text[: drawn[0]] + drawn[2] + text[drawn[0] + drawn[1] :])


def as_bytes(text: str) -> bytes:
    """Encode a text that may hold half a sign."""
    return text.encode("utf-8", "surrogatepass")


def refused_or_sound(read: Callable[..., Any], *arguments: object, **options: object) -> Any:
    """Return what is read, or None if it is refused as it should be."""
    try:
        return read(*arguments, **options)
    except InputError as problem:
        refusals = [(p.where, p.what, p.do, str(p)) for p in problem.problems]
        assert refusals
    except FitwrightError as problem:
        refusals = [("-", str(problem), "-", str(problem))]
    for where, what, do, line in refusals:
        assert where.strip()
        assert what.strip()
        assert do.strip()
        # One line each, with nothing in it that a terminal would obey.
        assert not re.search("[\x00-\x1f\x7f-\x9f]", line), line
    return None
