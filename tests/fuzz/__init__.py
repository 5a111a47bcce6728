"""Ten thousand hostile inputs, each made from its number and a seed: `python -m tests.fuzz --help`."""
