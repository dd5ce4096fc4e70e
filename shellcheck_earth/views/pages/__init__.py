"""The pages of the studies."""
