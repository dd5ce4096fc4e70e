"""Equilibrium: the lune, the exact admissible set, its cross-checks, blocks in three dimensions, proofs."""
