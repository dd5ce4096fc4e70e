"""Rigid blocks moved in time with friction that does not dilate."""
