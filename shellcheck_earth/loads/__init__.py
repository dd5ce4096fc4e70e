"""What the body weighs and what acts on it: soil, water, materials, actions, cases."""
