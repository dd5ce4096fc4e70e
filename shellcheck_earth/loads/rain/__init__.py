"""How far rain wets a course, how it dries, and the calendar of the work."""
