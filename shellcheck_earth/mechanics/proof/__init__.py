"""Proofs of equilibrium: how they are made (`certify`), and a checker of its own that believes none of it (`check`)."""
