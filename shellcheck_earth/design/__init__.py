"""What a design is, the file it is written in, its keys and how one of them is varied."""
