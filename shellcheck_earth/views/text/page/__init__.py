"""What the live page says, in one place."""
