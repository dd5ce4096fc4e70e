"""Questions about many designs: compare, choose, explain, sample. None of them is a verdict."""
