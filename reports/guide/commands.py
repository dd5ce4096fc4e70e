"""Every command from its own help: python reports/guide/commands.py writes commands.md anew."""

from __future__ import annotations

import io
import sys
from pathlib import Path

from rich.console import Console

FILE = Path(__file__).with_name("commands.md")
sys.path.insert(0, str(FILE.parents[2]))

HEAD = """# Every command

Generated from the program's own help; a test holds it current. Only `check` gives a verdict; `survey` says whether a
crew may go on, `recheck` proves a verdict again. Exit codes: 0 every required margin is met, 1 some margin falls short,
2 cannot say (never a pass) or the input was refused, 3 could not run.
"""


def names() -> list[str]:
    """The commands in alphabetical order."""
    from shellcheck_earth.views.cli.main import app

    return sorted(name for name in app if not name.startswith("-"))


def help_text(*tokens: str) -> str:
    """What a command says of itself, at 78 columns without colour."""
    from shellcheck_earth.views.cli.main import app

    out = io.StringIO()
    app.help_print([*tokens], console=Console(file=out, width=78, color_system=None, legacy_windows=False))
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines()).strip("\n")


def commands_page() -> str:
    """The page."""
    parts = [HEAD, f"```text\n{help_text()}\n```\n"]
    parts += [f"## `{name}`\n\n```text\n{help_text(name)}\n```\n" for name in names()]
    return "\n".join(parts)


if __name__ == "__main__":
    FILE.write_text(commands_page(), encoding="utf-8")
