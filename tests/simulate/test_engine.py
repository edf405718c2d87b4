"""The compiled engine is built once, kept safely, and loaded without the compiler."""

from __future__ import annotations

import os
import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from loopwright.simulate import simulate_layout
from loopwright.simulate.encode import Plant, encode
from loopwright.simulate.fill import fill
from loopwright.simulate.kernel import engine, store
from loopwright.simulate.kernel.table import WORDS, table_of
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.start import empty_state
from loopwright.simulate.wiring import Wiring
from tests.layouts.plants import one_of_each

CODE = b"\x7fELF and what follows"
MINUTE = Scenario("a minute", "empty", Fraction(60), Fraction(10), Fraction(25))
POSIX = pytest.mark.skipif(sys.platform == "win32", reason="it has no such modes of files")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where code is kept in this test."""
    kept = tmp_path / "kept"
    monkeypatch.setenv("LOOPWRIGHT_CACHE", str(kept))
    return kept


def plant() -> Plant:
    layout = one_of_each()
    start = empty_state(layout)
    made = encode(Wiring(layout), MINUTE, start)
    fill(made, start)
    return made


def test_what_is_kept_is_found_again(folder: Path) -> None:
    assert store.kept("code") is None
    assert store.keep("code", CODE) == folder / "code"
    assert store.kept("code") == CODE
    assert [path.name for path in folder.iterdir()] == ["code"]


def test_what_is_cut_off_or_changed_is_not_used(folder: Path) -> None:
    path = store.keep("code", CODE)
    assert path is not None
    whole = path.read_bytes()
    for broken in (whole[:-1], whole[:10], b"", whole[:-1] + b"?"):
        path.write_bytes(broken)
        assert store.kept("code") is None


@POSIX
def test_what_others_can_write_to_is_not_used(folder: Path) -> None:
    path = store.keep("code", CODE)
    assert path is not None
    path.chmod(0o666)
    assert store.kept("code") is None
    path.chmod(0o644)
    folder.chmod(0o777)
    assert store.kept("code") is None
    assert store.keep("code", CODE) is None
    folder.chmod(0o755)
    assert store.kept("code") == CODE


def test_a_failed_write_leaves_nothing_and_the_next_folder_is_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = tmp_path / "first", tmp_path / "second"
    monkeypatch.setattr(store, "_folders", lambda: iter((first, second)))
    (first / "code").mkdir(parents=True)  # no file can take its place
    assert store.keep("code", CODE) == second / "code"
    assert [path.name for path in first.iterdir()] == ["code"]
    assert store.kept("code") == CODE


def test_nowhere_to_write_is_no_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    taken = tmp_path / "taken"
    taken.write_text("a file where a folder would be")
    monkeypatch.setenv("LOOPWRIGHT_CACHE", str(taken))
    assert store.keep("code", CODE) is None
    assert store.kept("code") is None


def test_beside_a_program_that_is_read_only_the_user_has_a_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("LOOPWRIGHT_CACHE", raising=False)
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "user"))
    here = tmp_path / "program"
    here.write_text("nothing can be made in here")
    monkeypatch.setattr(store, "HERE", here)
    assert store.keep("code", CODE) == tmp_path / "user" / "loopwright" / "code"
    assert store.kept("code") == CODE


def test_the_edition_depends_on_every_source(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = tmp_path / "simulate" / "kernel"
    here.mkdir(parents=True)
    for name in ("columns.py", "records.py", "kernel/tick.py"):
        (here.parent / name).write_text("one")
    monkeypatch.setattr(store, "HERE", here)
    seen = {store.edition()}
    for name in ("columns.py", "records.py", "kernel/tick.py"):
        (here.parent / name).write_text("another")
        seen.add(store.edition())
    monkeypatch.setattr(store, "version", lambda name: f"another {name}")
    seen.add(store.edition())
    assert len(seen) == 5


def test_a_table_tells_where_arrays_are_and_how_large() -> None:
    row = np.arange(3)
    grid = np.zeros((2, 5), np.int32)
    table = table_of((row, grid))
    assert table.tolist() == [row.ctypes.data, 3, 0, grid.ctypes.data, 2, 5]
    assert table.size == 2 * WORDS
    with pytest.raises(ValueError, match="as they lie in memory"):
        table_of(grid.T)


@pytest.mark.skipif(engine.INTERPRETED, reason="nothing is compiled")
def test_arrays_of_another_type_than_the_code_is_for_are_refused() -> None:
    (first, *_) = plant().engines
    row = np.zeros(1, np.int64)
    with pytest.raises(TypeError, match="uint8"):
        first.view_stations(row, row, np.zeros(1, np.int32))
    with pytest.raises(TypeError, match="int64"):
        first.view_stations(np.zeros((1, 1), np.int64), row, np.zeros(1, np.uint8))


@pytest.mark.skipif(engine.INTERPRETED, reason="nothing is compiled")
def test_a_run_of_a_built_engine_loads_no_compiler() -> None:
    simulate_layout(one_of_each(), MINUTE)  # from now on it is built
    look = (
        "import sys; from tests.simulate.test_engine import *; "
        "simulate_layout(one_of_each(), MINUTE); print('numba' in sys.modules)"
    )
    path = os.pathsep.join(sys.path)
    done = subprocess.run(
        [sys.executable, "-c", look],
        env={**os.environ, "PYTHONPATH": path},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == "False\n"


def test_building_is_told_before_and_after(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[bool] = []
    monkeypatch.setattr(engine, "on_build", [told.append])
    monkeypatch.setattr(engine, "kept", lambda name: None)
    monkeypatch.setattr(engine, "_built", lambda cell: told.append(cell == "uint16"))
    monkeypatch.setattr(engine, "_as_compiled", lambda cell: {})
    assert engine._loaded.__wrapped__("uint16") == {}
    assert told == [True, True, False]


@pytest.mark.skipif(sys.platform == "win32", reason="files are not locked there")
def test_of_processes_that_start_together_one_builds(folder: Path) -> None:
    look = (
        "import sys, time; from loopwright.simulate.kernel import engine\n"
        "def built(cell): print('built', flush=True); time.sleep(1); return b'code'\n"
        "engine._built = built\n"
        "assert engine._made('code', 'uint16') == b'code'"
    )
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    running = [
        subprocess.Popen(
            [sys.executable, "-c", look], env=environment, stdout=subprocess.PIPE, text=True
        )
        for _ in range(3)
    ]
    told = [process.communicate(timeout=60)[0] for process in running]
    assert [process.returncode for process in running] == [0, 0, 0]
    assert sorted(told) == ["", "", "built\n"]


@pytest.mark.slow
@pytest.mark.skipif(engine.INTERPRETED, reason="nothing is compiled")
def test_where_nothing_can_be_built_the_compiler_works_in_this_process() -> None:
    expected = simulate_layout(one_of_each(), MINUTE)
    look = (
        "import sys; from tests.simulate.test_engine import *\n"
        "engine.kept, engine._built = lambda name: None, lambda cell: None\n"
        "run = simulate_layout(one_of_each(), MINUTE)\n"
        "print('numba' in sys.modules, run.end)"
    )
    done = subprocess.run(
        [sys.executable, "-c", look],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == f"True {expected.end}\n"


@pytest.mark.slow
@pytest.mark.skipif(engine.INTERPRETED, reason="nothing is compiled")
def test_built_code_is_the_same_each_time() -> None:
    first, second = engine._built("uint16"), engine._built("uint16")
    assert first is not None
    assert first == second


@pytest.mark.skipif(engine.INTERPRETED, reason="nothing is compiled")
def test_an_interrupt_while_the_engine_is_built_ends_the_run_without_building_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    calls: list[str] = []

    def interrupted(cell: str) -> dict[str, engine.Call]:
        calls.append(cell)
        raise KeyboardInterrupt

    monkeypatch.setattr(engine, "_compiled", interrupted)
    run = simulate_layout(one_of_each(), MINUTE)
    assert (run.ended, run.ticks, calls) == ("interrupted", 0, ["uint16"])
