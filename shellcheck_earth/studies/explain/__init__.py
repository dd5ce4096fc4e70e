"""What holds a dome up and how it gives way when something is taken away."""
