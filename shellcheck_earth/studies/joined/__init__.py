"""Domes joined by a passage, and straight walls with buttresses, as blocks of one problem: a study."""
