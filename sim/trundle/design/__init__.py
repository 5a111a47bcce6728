"""A first design from what a builder has and wants."""
