"""The pages of the report."""
