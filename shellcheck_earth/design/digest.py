"""The digest of a design: every output carries it, so that what belongs together can be told from what does not."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from typing import Any

__all__ = ["design_content", "design_sha256", "joint_sha256"]


def _plain(node: Any) -> Any:
    if is_dataclass(node):
        return {field.name: _plain(getattr(node, field.name)) for field in fields(node) if field.compare}
    if isinstance(node, Mapping):
        return {str(key): _plain(value) for key, value in node.items()}
    if isinstance(node, set | frozenset):
        return sorted(map(str, node))
    if isinstance(node, tuple | list):
        return [_plain(value) for value in node]
    return node


def design_content(design: Any, *without: str) -> str:
    """Every value of a design as one text, the same in every run; `without` fields such as ``bases``. A design that
    nothing is handed into has the text, and the digest, that it had before any could be said."""
    unsaid = [name for name in ("ring_loads", "bearing_loads", "backfill", "footing") if not getattr(design, name, ())]
    said = {name: value for name, value in _plain(design).items() if name not in (*without, *unsaid)}
    if (earth := said.get("backfill")) and earth["from_bearing"] is None:  # as before one side could be said
        said["backfill"] = {name: value for name, value in earth.items() if not name.endswith("_bearing")}
    criteria = said.get("criteria")
    if isinstance(criteria, dict) and criteria.get("own_set", ...) is None:  # as before a set could be a file
        said["criteria"] = {name: value for name, value in criteria.items() if name != "own_set"}
    return json.dumps(said, sort_keys=True, ensure_ascii=True)


def design_sha256(design: Any) -> str:
    """SHA-256 of everything a design says, 64 hexadecimal digits: its values in SI with all their digits, how each is
    known, and the required factors. Comments and the order of the file do not count, nor in which unit a value is
    written as long as it is the same number.
    """
    return hashlib.sha256(design_content(design).encode()).hexdigest()


def joint_sha256(digests: Sequence[str]) -> str:
    """One digest for several designs in their order; that of the design itself where there is only one."""
    return digests[0] if len(digests) == 1 else hashlib.sha256("\n".join(digests).encode()).hexdigest()
