"""A scheduler with two worker processes on loopback, for as long as its standard input stays open."""

from __future__ import annotations

import sys

if __name__ == "__main__":
    import dask
    from distributed import LocalCluster

    # How often a task may lose its worker before the scheduler says so; 3 is usual and takes longer.
    dask.config.set({"distributed.scheduler.allowed-failures": 1})
    with LocalCluster(
        n_workers=2,
        threads_per_worker=1,
        processes=True,
        host="127.0.0.1",
        dashboard_address=None,
        local_directory=sys.argv[1],
        silence_logs=50,
    ) as cluster:
        print(cluster.scheduler_address, flush=True)
        sys.stdin.read()
