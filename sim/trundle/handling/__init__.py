"""Turning and tipping: what the side view does not show, from how the vehicle stands and from the width between its
tracks."""
