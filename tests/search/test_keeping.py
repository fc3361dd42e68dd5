"""Circuits on disk: read back the same, and made anew when damaged."""

from __future__ import annotations

import numpy as np
import pytest

from configurator.search.circuit import cache, join
from configurator.search.circuit.elimination import make_circuit
from configurator.search.optimum import preparing, queries
from tests.search.random_cases import make


@pytest.fixture
def kept(tmp_path, monkeypatch):
    monkeypatch.setenv("FITWRIGHT_DATA", str(tmp_path))
    monkeypatch.setattr(cache, "WORTH_KEEPING", 0)
    return tmp_path / "circuits"


SEED = 5  # a problem with many packages


def prices(seed, *, keep):
    random_case = make(seed)
    job = random_case.case.job
    prepared = preparing.prepare(random_case.evaluation, queries.goal_figures(job), keep=keep)
    found = queries.previews(prepared, job)
    return {position: array.tolist() for position, array in found.prices.items()}


def test_a_kept_circuit_answers_the_same(kept, monkeypatch):
    expected = {seed: prices(seed, keep=False) for seed in range(20)}
    assert {seed: prices(seed, keep=True) for seed in range(20)} == expected
    assert list(kept.glob("*.npz"))
    with_nodes = [s for s in expected if any(p >= 0 for a in expected[s].values() for p in a)]

    def refuse(*_):
        pytest.fail("the circuit should have been read")

    monkeypatch.setattr(preparing, "make_circuit", refuse)
    assert {seed: prices(seed, keep=True) for seed in with_nodes} == {
        seed: expected[seed] for seed in with_nodes
    }


@pytest.mark.parametrize("harm", ["cut short", "noise", "empty", "rows beyond", "pickle"])
def test_a_damaged_file_is_made_anew(kept, harm):
    expected = prices(SEED, keep=True)
    (path,) = kept.glob("*.npz")
    whole = path.read_bytes()
    if harm == "cut short":
        path.write_bytes(whole[: len(whole) // 2])
    elif harm == "noise":
        path.write_bytes(whole[:100] + bytes(200) + whole[300:])
    elif harm == "empty":
        path.write_bytes(b"")
    else:
        with np.load(path) as data:
            arrays = {key: data[key] for key in data.files}
        if harm == "rows beyond":
            key = next(k for k in arrays if k.startswith("from_left"))
            arrays[key] = arrays[key] + np.int32(10**6)
        else:
            arrays["nodes"] = np.array([{"a": 1}], dtype=object)
        np.savez(path, **arrays)
    assert prices(SEED, keep=True) == expected


@pytest.fixture
def refusing(kept, monkeypatch):
    """Joins that are too wide, all of them; gives the planner's calls."""
    calls = []

    def counted(*given):
        calls.append(1)
        return make_circuit(*given)

    monkeypatch.setattr(join, "WIDEST", 0)
    monkeypatch.setattr(preparing, "make_circuit", counted)
    return calls


def refusal():
    with pytest.raises(join.TooWide) as raised:
        prices(SEED, keep=True)
    return raised.value


def test_what_is_too_wide_is_refused_again_without_planning(refusing):
    first = refusal()
    again = refusal()
    assert len(refusing) == 1
    assert first.names
    assert (again.names, again.rows, str(again)) == (first.names, first.rows, str(first))


def test_another_planner_is_asked_again(refusing, monkeypatch):
    refusal()
    monkeypatch.setattr(cache, "_planner", lambda: b"a better one")
    refusal()
    assert len(refusing) == 2


@pytest.mark.parametrize(
    "arrays",
    [
        {"refused": np.array(["a rule of another case"]), "rows": np.array([9])},
        {"refused": np.array(["a"], dtype=object), "rows": np.array([9])},
        {"refused": np.array([], np.str_), "rows": np.array([-1])},
        {"refused": np.array([], np.str_), "rows": np.array([0.5])},
        {"refused": np.array([], np.str_)},
        {"refused": np.array([1, 2]), "rows": np.array([9])},
    ],
)
def test_a_damaged_refusal_is_made_anew(refusing, kept, arrays):
    expected = refusal()
    (path,) = kept.glob("*.npz")
    np.savez(path, **arrays)
    assert refusal().names == expected.names
    assert len(refusing) == 2


def test_a_folder_that_cannot_be_written_is_no_reason_to_fail(kept):
    kept.parent.mkdir(exist_ok=True)
    kept.write_text("a file where the folder should be")
    assert prices(SEED, keep=True) == prices(SEED, keep=False)


def test_another_table_has_another_name():
    names = set()
    for seed in range(30):
        random_case = make(seed)
        model = preparing.prepare(random_case.evaluation, []).model
        names.add(cache.name_of(model.tables, model.sizes, model.told_by, set()))
    assert len(names) == 30
    assert make_circuit is preparing.make_circuit
