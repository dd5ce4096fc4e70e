"""What `recheck` is pointed at: regular files of a stated size, nothing that is waited for or read for ever."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from shellcheck_earth.mechanics.proof import check
from shellcheck_earth.mechanics.proof.check import recheck, recheck_against

ROOT = Path(__file__).parents[3]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name here")
def test_pipes_devices_and_folders_are_refused_at_once(tmp_path: Path) -> None:
    """A pipe nobody writes to was waited for, a device without end filled the memory."""
    pipe = tmp_path / "pipe.json"
    os.mkfifo(pipe)
    design = ROOT / "reports" / "garden-classroom" / "design.toml"
    for odd in (pipe, Path("/dev/zero"), tmp_path):
        for report in (recheck(odd, design), recheck(design, odd), recheck_against(odd, b"")):
            assert report.verdict == "cannot say"
    assert "found a folder, a pipe or a device" in recheck(pipe, design).lines[0]
    assert recheck(tmp_path / "no\0name", design).verdict == "cannot say"


def test_a_certificate_past_its_size_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(check, "MOST_BYTES", 1000)
    certificate = tmp_path / "certificate.json"
    certificate.write_bytes(b" " * 1001)
    assert "expected a file under" in recheck(certificate, certificate).lines[0]
