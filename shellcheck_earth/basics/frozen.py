"""A mapping that never changes: unlike a mapping proxy it can be hashed and sent to another process."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TypeVar

__all__ = ["FrozenMap", "freeze"]

K = TypeVar("K")
V = TypeVar("V")


class FrozenMap(Mapping[K, V]):
    """A copy of a mapping in its order; equal to any mapping with the same items.

    TypeError from `hash` when a value cannot be hashed.
    """

    __slots__ = ("_items",)

    def __init__(self, items: Mapping[K, V] | None = None) -> None:
        self._items: dict[K, V] = dict(items or {})

    def __getitem__(self, key: K) -> V:
        return self._items[key]

    def __iter__(self) -> Iterator[K]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    def __hash__(self) -> int:
        return hash(frozenset(self._items.items()))

    def __repr__(self) -> str:
        return repr(self._items)

    def __reduce__(self) -> tuple[type[FrozenMap[K, V]], tuple[dict[K, V]]]:
        return FrozenMap, (self._items,)


def freeze(of: object, name: str) -> None:
    """Make a mapping of a frozen class one that can be hashed and sent to another process; what is no mapping stays."""
    value = getattr(of, name)
    if isinstance(value, Mapping) and not isinstance(value, FrozenMap):
        object.__setattr__(of, name, FrozenMap(value))
