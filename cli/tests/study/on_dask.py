"""Does the items of a study on Dask: `python on_dask.py CELLARWRIGHT ITEMS RESULTS [WORKERS] [--shuffled] [--kill]`.

Here the workers are processes of this machine; with `Client("tcp://scheduler:8786")` in place of `LocalCluster` they are those of a cluster.
`--shuffled` submits the items in another order, `--kill` kills a worker, and all that it has started, in the middle of an item: for the tests.
"""

import random
import subprocess
import sys

import psutil
from dask.distributed import Client, LocalCluster, as_completed


def run(program, items, number, results):
    command = [program, "study", "run", items, "--item", str(number), "--results", results]
    return subprocess.run(command, capture_output=True, text=True, check=True).stderr


def kill_one(client):
    """Kills the first worker that is found in the middle of an item; the item's process first."""
    while True:
        for process in client.run(lambda: __import__("os").getpid()).values():
            worker = psutil.Process(process)
            for child in worker.children(recursive=True):
                child.kill()
                worker.kill()
                return


def main(program, items, results, workers="2", *options):
    with open(items, encoding="utf-8") as lines:
        numbers = list(range(1, 1 + sum(1 for _ in lines)))
    if "--shuffled" in options:
        random.Random(7).shuffle(numbers)
    with LocalCluster(n_workers=int(workers), threads_per_worker=1, dashboard_address=None) as cluster, Client(cluster) as client:
        done = [client.submit(run, program, items, number, results, retries=2, pure=False) for number in numbers]
        is_to_be_killed = "--kill" in options
        for one in as_completed(done):
            print(one.result(), end="", flush=True)
            if is_to_be_killed:
                is_to_be_killed = False
                kill_one(client)
                print("killed", flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
