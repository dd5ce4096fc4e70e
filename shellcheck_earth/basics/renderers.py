"""How an object shows or saves itself without the floors above being imported: names of functions, looked up when
they are called.

The face of the package (`shellcheck_earth/__init__.py`) fills the table; data on a lower floor calls `render`.
"""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from typing import Any

__all__ = ["register", "render", "renderers"]

_TABLE: dict[tuple[str, str], str] = {}


def register(entries: Mapping[tuple[str, str], str]) -> None:
    """Add entries: (name of the class, how it is shown) -> "module:function".

    ValueError for an entry that does not say both a module and a function.
    """
    for key, where in entries.items():
        module, _, function = where.partition(":")
        if not module or not function:
            raise ValueError(f'{key}: expected "module:function", found {where!r}')
        _TABLE[key] = where


def renderers() -> Mapping[tuple[str, str], str]:
    """All entries, as they stand."""
    return dict(_TABLE)


def render(owner: object, how: str, *rest: Any) -> Any:
    """What the function registered for the object's class and `how` makes of the object and the `rest`.

    LookupError where none is registered.
    """
    where = _TABLE.get((type(owner).__name__, how))
    if where is None:
        raise LookupError(f"nothing is registered that shows {type(owner).__name__} as {how}")
    module, _, function = where.partition(":")
    return getattr(import_module(module), function)(owner, *rest)
