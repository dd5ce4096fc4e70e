"""Sentences on a dome that is being built."""
