"""The teaching report's sentences: short, each with a number of this dome in it."""
