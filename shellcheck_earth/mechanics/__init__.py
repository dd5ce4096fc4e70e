"""Statics: the ring-symmetric dome, the dome as blocks, the proofs, and very many domes at once."""
