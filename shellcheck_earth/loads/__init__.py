"""What the fill weighs and carries, wet or dry, and every case that is asked about."""
