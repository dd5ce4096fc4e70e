"""What comes down with a value: a wet friction may not pass the dry one, nor a young strength the hardened one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.design.keys import known_keys, written_value
from shellcheck_earth.geometry.reading import design_from_document
from shellcheck_earth.safety.untested import LEADING, brought_down
from shellcheck_earth.views.page.document import plain_change

__all__ = ["changed_with_followers", "followers"]

UNITS = {"stress": " kPa"}
"""Of the keys that may follow; the others are plain numbers."""


def followers(document: Mapping[str, Any], path: str, value: Any) -> list[tuple[str, Any]]:
    """(path, value) of everything the file states that may not be better than the new value; [] where nothing is, or
    where the value cannot be read (which is said where it is set)."""
    key = known_keys().get(path)
    if path not in LEADING or key is None or key.dimension is None or isinstance(value, Mapping):
        return []
    try:
        found = brought_down(design_from_document(document), path, parse_quantity(value, key.dimension))
    except (InputError, ValueError, AttributeError):
        return []
    out: list[tuple[str, Any]] = []
    for one, lower in found.items():
        if written_value(document, one) is not None:
            unit = UNITS.get(known_keys()[one].dimension or "", "")
            out.append((one, f"{lower:.6g}{unit}" if unit else lower))
    return out


def changed_with_followers(
    document: Mapping[str, Any], path: str, value: Any
) -> tuple[dict[str, Any], tuple[str, ...]]:
    """A copy with one key set and what follows brought down, and the paths of these; InputError as `plain_change`."""
    following = followers(document, path, value)
    out = plain_change(document, path, value)
    for follower, lower in following:
        out = plain_change(out, follower, lower)
    return out, tuple(follower for follower, _ in following)
