"""The compiled kernel that asks very many sampled domes."""
