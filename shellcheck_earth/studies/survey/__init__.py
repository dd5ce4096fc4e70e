"""A dome that is being built: as it was found, what follows, and how to go on."""
