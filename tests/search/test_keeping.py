"""Circuits on disk: read back the same, and made anew when damaged."""

from __future__ import annotations

import os
import signal
import stat
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from configurator.core import sealed_arrays
from configurator.search.circuit import cache, elimination, join, kept_reductions
from configurator.search.circuit.elimination import make_circuit
from configurator.search.limits import Limits
from configurator.search.optimum import known_orders, preparing, queries
from configurator.search.optimum.preparing import Question
from tests.search.random_cases import make


@pytest.fixture
def kept(tmp_path, monkeypatch):
    monkeypatch.setenv("FITWRIGHT_DATA", str(tmp_path))
    return tmp_path / "circuits"


def circuits(kept):
    """Files of circuits; beside them stand reduced tables and the order of joining."""
    beside = ("-order", "-reduced")
    return [path for path in kept.glob("*.npz") if not path.stem.endswith(beside)]


SEED = 5  # a problem with many packages
KEPT = Limits(kept_from_rows=0)  # however small a circuit is


def prices(seed, *, keep, limits=KEPT):
    random_case = make(seed)
    job = random_case.case.job
    figures = queries.goal_figures(job)
    prepared = preparing.prepare(random_case.evaluation, figures, keep=keep, limits=limits)
    previews = queries.previews(Question(prepared, job))
    return {position: array.tolist() for position, array in previews.prices.items()}


def test_a_kept_circuit_answers_the_same(kept, monkeypatch):
    expected = {seed: prices(seed, keep=False) for seed in range(20)}
    assert {seed: prices(seed, keep=True) for seed in range(20)} == expected
    assert list(kept.glob("*.npz"))
    with_nodes = [s for s in expected if any(p >= 0 for a in expected[s].values() for p in a)]

    def refuse(*_):
        pytest.fail("the circuit should have been read")

    monkeypatch.setattr(known_orders, "make_circuit", refuse)
    assert {seed: prices(seed, keep=True) for seed in with_nodes} == {
        seed: expected[seed] for seed in with_nodes
    }


def ready(seed, goals, *, keep=True, limits=KEPT):
    """Prepare a case, and price every option without goals."""
    prepared = preparing.prepare(make(seed).evaluation, goals, keep=keep, limits=limits)
    job = make(seed).case.job
    previews = queries.previews(Question(prepared, replace(job, goals=())))
    return prepared, {position: array.tolist() for position, array in previews.prices.items()}


@pytest.mark.parametrize("seed", range(12))
def test_the_next_job_of_a_vehicle_is_joined_in_the_order_that_served_the_last(
    kept, monkeypatch, seed
):
    goals = queries.goal_figures(make(seed).case.job)
    _, expected = ready(seed, (), keep=False)
    ready(seed, goals)
    followed, looked_for = [], []
    follow, contract = elimination._follow_among, elimination.contract

    def noted(draft, order, *rest):
        followed.append(order)
        return follow(draft, order, *rest)

    def planned(*given):
        looked_for.append(1)
        return contract(*given)

    monkeypatch.setattr(elimination, "_follow_among", noted)
    monkeypatch.setattr(elimination, "contract", planned)
    for file in kept.glob("*.npz"):  # the circuit itself is not there: the job is another
        if not file.stem.endswith("-order"):
            file.unlink()
    prepared, prices_now = ready(seed, ())
    assert prices_now == expected
    if list(kept.glob("*-order.npz")) and prepared.circuit.nodes:
        assert followed
        assert not looked_for


def test_an_order_that_does_not_serve_is_not_followed_to_the_end(kept):
    none_unlooked_for = replace(KEPT, unsampled_rows=-1)
    _, expected = ready(SEED, (), keep=False)
    prepared, _ = ready(SEED, (), limits=none_unlooked_for)
    name = known_orders.name_of(prepared.model)
    names, rows = cache.load_order(name)
    cache.save_order(name, names[::-1], 0)
    for file in kept.glob("*.npz"):
        if not file.stem.endswith("-order"):
            file.unlink()
    _, prices_now = ready(SEED, (), limits=none_unlooked_for)
    assert prices_now == expected
    assert cache.load_order(name) == (names, rows)  # looked for again, and kept in its place


@pytest.mark.parametrize("harm", ["cut short", "noise", "empty", "rows beyond", "pickle"])
def test_a_damaged_file_is_made_anew(kept, harm):
    expected = prices(SEED, keep=True)
    (path,) = circuits(kept)
    whole = path.read_bytes()
    if harm == "cut short":
        path.write_bytes(whole[: len(whole) // 2])
    elif harm == "noise":
        path.write_bytes(whole[:100] + bytes(200) + whole[300:])
    elif harm == "empty":
        path.write_bytes(b"")
    else:
        with np.load(path) as data:
            arrays = {key: data[key] for key in data.files if key != "seal"}
        if harm == "rows beyond":  # under a digest that holds
            arrays["flat"] = arrays["flat"] + np.int32(10**6)
            sealed_arrays.write(path.stem, arrays)
        else:
            arrays["nodes"] = np.array([{"a": 1}], dtype=object)
            np.savez(path, **arrays)
    assert prices(SEED, keep=True) == expected


def test_kept_reductions_are_what_reducing_gives(kept, monkeypatch):
    known = []
    reduce = kept_reductions.reduce_tables

    def noted(*given):
        known.append((given, reduce(*given)))
        return known[-1][1]

    monkeypatch.setattr(kept_reductions, "reduce_tables", noted)
    for seed in range(20):
        prices(seed, keep=True)
    assert len(known) == 20
    several = [(given, reduced) for given, reduced in known if reduced is not None]
    assert len(several) > 10
    monkeypatch.setattr(kept_reductions, "reduce_tables", lambda *_: pytest.fail("was kept"))
    for given, reduced in several:
        again = kept_reductions.reduced_tables(*given)
        assert again.sizes == reduced.sizes
        pairs = zip(again.tables, reduced.tables, again.rows, reduced.rows, strict=True)
        for table, other, rows, others in pairs:
            named = table.name, table.variables, table.rows
            assert named == (other.name, other.variables, other.rows)
            assert [c.tolist() for c in table.columns] == [c.tolist() for c in other.columns]
            assert rows.tolist() == others.tolist()


@pytest.mark.parametrize("harm", ["codes beyond", "another table", "more", "sizes"])
def test_a_reduction_that_does_not_hold_together_is_made_anew(kept, harm):
    expected = prices(SEED, keep=True)
    (path,) = kept.glob("*-reduced.npz")
    with np.load(path) as data:
        arrays = {key: data[key] for key in data.files if key != "seal"}
    if harm == "codes beyond":
        arrays["flat"] = arrays["flat"] + np.int32(10**6)
    elif harm == "another table":
        arrays["lengths"] = arrays["lengths"][::-1].copy()
    elif harm == "more":
        arrays["lengths"] = np.append(arrays["lengths"], 0)
    else:
        arrays["sizes"] = arrays["sizes"][1:]
    sealed_arrays.write(path.stem, arrays)  # under a digest that holds
    harmed = path.read_bytes()
    assert prices(SEED, keep=True) == expected
    assert path.read_bytes() != harmed


def arrays_of(circuit):
    def listed(index):
        return None if index is None else index.tolist()

    def parts(node):
        return node.from_left, node.from_right, node.starts

    nodes = [
        (n.rows, n.inner, n.left, n.right, n.leaf, *map(listed, parts(n))) for n in circuit.nodes
    ]
    return nodes, [listed(rows) for rows in circuit.leaf_rows]


@pytest.fixture
def circuit_file(kept, monkeypatch):
    """A kept circuit: its name, its tables, itself, and its file."""
    names, given = [], []

    def noted(name, *rest):
        names.append(name)
        save(name, *rest)

    def made(*arguments):
        given.append(arguments)
        return make_circuit(*arguments)

    save = cache.save
    monkeypatch.setattr(cache, "save", noted)
    monkeypatch.setattr(known_orders, "make_circuit", made)
    prices(SEED, keep=True)
    (name,), (tables, *_) = names, given[0]
    return name, tables, cache.load(name, tables), kept / f"{name}.npz"


def test_one_flipped_bit_anywhere_never_makes_another_circuit(circuit_file):
    name, tables, circuit, path = circuit_file
    whole, expected = path.read_bytes(), arrays_of(circuit)
    rng = np.random.default_rng(1)
    ends = range(len(whole) - 200, len(whole))  # the directory, where the reader's own faults lie
    refused = 0
    for place in {*rng.integers(0, len(whole), 400).tolist(), *ends, *range(60)}:
        harmed = bytearray(whole)
        harmed[place] ^= 1 << int(rng.integers(8))
        path.write_bytes(harmed)
        read = cache.load(name, tables)
        refused += read is None
        assert read is None or arrays_of(read) == expected, place
    assert refused > 300


def test_a_circuit_under_anothers_name_is_not_believed(circuit_file):
    name, tables, circuit, path = circuit_file
    other = "0" * len(name)
    path.rename(path.with_name(f"{other}.npz"))
    assert cache.load(other, tables) is None
    path.with_name(f"{other}.npz").rename(path)
    assert arrays_of(cache.load(name, tables)) == arrays_of(circuit)
    # Nor arrays that were exchanged within the file.
    with np.load(path) as data:
        arrays = {key: data[key] for key in data.files}
    arrays["flat"] = arrays["flat"][::-1].copy()
    np.savez(path, **arrays)
    assert cache.load(name, tables) is None


@pytest.mark.skipif(os.name != "posix", reason="needs to be killed")
def test_what_an_interrupted_write_left_goes_when_it_is_old(kept):
    code = (
        "import os, signal, numpy as np\n"
        "from configurator.core import sealed_arrays\n"
        "np.savez = lambda file, **_: (file.write(b'half'), file.flush(),"
        " os.kill(os.getpid(), signal.SIGKILL))\n"
        "sealed_arrays.write('a', {'b': np.zeros(3)})\n"
    )
    root = Path(__file__).parents[2]
    ran = subprocess.run([sys.executable, "-c", code], cwd=root, check=False)
    assert ran.returncode == -signal.SIGKILL
    (left,) = kept.glob("*.part")
    prices(SEED, keep=True)
    assert left.exists()  # somebody may still be writing
    os.utime(left, (0, 0))
    prices(SEED, keep=True)
    assert not left.exists()
    assert stat.S_IMODE(kept.stat().st_mode) == 0o700


@pytest.fixture
def refusing(kept, monkeypatch):
    """Joins that are too wide, all of them; gives the planner's calls."""
    calls = []

    def counted(*given):
        calls.append(1)
        return make_circuit(*given)

    monkeypatch.setattr(known_orders, "make_circuit", counted)
    return calls


def refusal():
    with pytest.raises(join.TooWide) as raised:
        prices(SEED, keep=True, limits=replace(KEPT, join_pairs=0))
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
    (path,) = circuits(kept)
    if any(array.dtype == object for array in arrays.values()):
        np.savez(path, **arrays)
    else:
        sealed_arrays.write(path.stem, arrays)
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
    assert make_circuit is known_orders.make_circuit
