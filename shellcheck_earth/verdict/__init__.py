"""From force paths to margins, and from margins to a verdict in words."""
