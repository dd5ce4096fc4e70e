"""PDF and terminal."""
