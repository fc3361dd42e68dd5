"""How often Python looks for cycles of objects, and memory that is kept once it was freed."""

from __future__ import annotations

import gc
import subprocess
import sys

import pytest

from configurator.core.memory import SELDOM, collected_seldom


@pytest.fixture
def usual():
    before = gc.get_threshold()
    gc.set_threshold(700, 10, 10)
    yield gc.get_threshold()
    gc.set_threshold(*before)


def test_cycles_are_looked_for_seldom_and_then_as_before(usual):
    with collected_seldom():
        assert gc.get_threshold() == SELDOM
        with pytest.raises(KeyError), collected_seldom():
            raise KeyError
        assert gc.get_threshold() == SELDOM
    assert gc.get_threshold() == usual


def test_as_before_once_the_last_who_asks_for_it_ends(usual):
    first, second = collected_seldom(), collected_seldom()
    first.__enter__()
    second.__enter__()
    first.__exit__(None, None, None)
    assert gc.get_threshold() == SELDOM
    second.__exit__(None, None, None)
    assert gc.get_threshold() == usual


@pytest.mark.parametrize("own", [(0, 10, 10), (100_000, 10, 10)])
def test_who_looks_less_often_or_never_keeps_to_that(usual, own):
    gc.set_threshold(*own)
    with collected_seldom():
        assert gc.get_threshold()[0] == own[0]
    assert gc.get_threshold()[0] == own[0]


PROBE = """
import resource, sys
import numpy as np
from configurator.core.memory import keep_freed

if sys.argv[1] == "kept" and not keep_freed():
    sys.exit(77)
faults = lambda: resource.getrusage(resource.RUSAGE_SELF).ru_minflt
np.ones(1_000_000)
before = faults()
for _ in range(10):
    np.ones(1_000_000)
print(faults() - before)
"""


def test_memory_that_was_freed_is_not_asked_for_again():
    asked = {}
    for way in ("kept", "usual"):
        command = [sys.executable, "-c", PROBE, way]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        if done.returncode == 77:
            pytest.skip("the C library is not GNU's")
        asked[way] = int(done.stdout)
    assert asked["kept"] < 200 < asked["usual"]
