"""The body of the dome: profile, courses, openings, and the blocks they are cut into."""
