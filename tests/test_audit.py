"""What the audit of the locked libraries makes of the answers that it gets."""

from __future__ import annotations

from pathlib import Path

from tests.audit import FAILED, ROOT, audit, verdict

SOUND = {"name": "a", "version": "1", "vulns": []}
FLAWED = {"name": "b", "version": "2", "vulns": [{"id": "X-1", "fix_versions": ["2.1"]}]}
SKIPPED = {"name": "c", "skip_reason": "not found"}


def test_sound_flawed_and_not_asked() -> None:
    assert verdict([SOUND]) == (0, ["1 of 1 libraries checked, 0 advisories"])
    status, lines = verdict([SOUND, FLAWED])
    assert status == 1
    assert lines == ["b 2: X-1, mended in 2.1", "2 of 2 libraries checked, 1 advisories"]
    status, lines = verdict([FLAWED, SKIPPED])
    assert status == FAILED
    assert "c was not checked: not found" in lines


def test_a_service_that_does_not_answer_is_said() -> None:
    status, (line,) = verdict([SKIPPED, SKIPPED])
    assert status == FAILED
    assert "nothing was checked: the advisory service does not answer here" in line


def test_a_lock_that_cannot_be_read_is_said(tmp_path: Path) -> None:
    status, (line,) = audit(tmp_path / "missing.lock")
    assert status == FAILED
    assert "nothing was checked" in line


def test_no_continuous_build_asks_the_network() -> None:
    for file in (*ROOT.glob(".ci/*"), *ROOT.glob(".github/workflows/*")):
        if file.is_file():
            assert "audit" not in file.read_text(encoding="utf-8")
