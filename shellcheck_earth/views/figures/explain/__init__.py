"""Drawings of the teaching report."""
