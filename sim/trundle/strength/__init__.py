"""What the parts of a vehicle bear in a run: from the force vectors of its record to what is left of each part."""
