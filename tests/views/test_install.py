"""How the package is found after the two commands of the README were run in one clone."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path


def test_what_an_earlier_install_left_behind_does_not_hide_the_package(tmp_path: Path) -> None:
    """pip leaves the compiler's cache of a plain install in site-packages: a folder of the package's name with no
    code in it.
    """
    left = tmp_path / "site-packages"
    (left / "shellcheck_earth" / "mechanics" / "__pycache__").mkdir(parents=True)
    asked = subprocess.run(
        [sys.executable, "-c", "import shellcheck_earth.mechanics.rings.discretise as found; print(found.__file__)"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(left)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert asked.returncode == 0, asked.stderr
    assert Path(asked.stdout.strip()).name == "discretise.py"
