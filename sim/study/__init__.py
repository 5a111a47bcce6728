"""Many runs: the functions to call are in `sim.study.api`."""
