"""Many runs: the functions to call are in `trundle.study.api`."""
