"""What people and programs see."""
