"""One design with uncertain inputs, many times."""
