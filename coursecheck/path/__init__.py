"""How a dog runs the course: the line through every pass, as exact straight lines and arcs."""
