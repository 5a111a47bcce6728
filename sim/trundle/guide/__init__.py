"""The field guide, made from the fields themselves: what each is, how to measure it, its picture."""
