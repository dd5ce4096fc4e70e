"""The body: the design file, the profile, the courses and the openings."""
