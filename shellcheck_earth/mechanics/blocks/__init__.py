"""The dome as rigid blocks with friction: a second-order cone programme and its re-check."""
