"""The ring of `validation.one_ring` as a text whose friction is put in later."""

from __future__ import annotations

from validation.one_ring import rings

__all__ = ["ONE_RING"]

ONE_RING = rings(0.3).replace("friction = 0.3", "friction = FRICTION", 1)
"""FRICTION: of its bed; loads are added behind."""
