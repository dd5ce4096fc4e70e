"""What the block model is asked about a design, and how its answers become results."""
