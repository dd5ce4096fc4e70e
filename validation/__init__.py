"""The tool against the outside world: one file a source, printed, recomputed and ours kept apart."""
