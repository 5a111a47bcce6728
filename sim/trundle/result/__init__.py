"""A run from start to end: roll a vehicle over a course, judge it, keep it; and what a vehicle can do at most."""
