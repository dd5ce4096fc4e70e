"""What holds a dome up and how it collapses when something is taken away."""
