"""How much a finished dome may settle, spread, dry out or tire before a margin falls short."""
