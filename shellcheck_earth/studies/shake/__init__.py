"""The dome on a ground that moves: a study, never a verdict."""
