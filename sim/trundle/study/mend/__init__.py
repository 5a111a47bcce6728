"""What to change: each dimension changed by what a builder would change it, and what of it helps most."""
