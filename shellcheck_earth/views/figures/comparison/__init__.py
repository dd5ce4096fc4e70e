"""Pictures of a comparison: maps, curves, designs side by side."""
