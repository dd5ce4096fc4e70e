"""Data files and models for other programs."""
