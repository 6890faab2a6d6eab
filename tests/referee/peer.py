"""One case for the bench: a limited search with two workers, and what came of it.

Reads `{"case": .., "seconds": .., "gap": ..}` from standard input and writes one JSON document: version, size of the model, seconds of building and of the search,
seconds of the search to the first plan, objective, bound, peak memory in MB.
"""

import json
import resource
import sys
import time

import ortools
from ortools.sat.python import cp_model

from features import Refused
from job import Job

WORKERS = 2


class Watch(cp_model.CpSolverSolutionCallback):
    """Notes when the first plan came."""

    def __init__(self):
        super().__init__()
        self.first = None

    def on_solution_callback(self):
        if self.first is None:
            self.first = self.wall_time


def measure(request):
    """Builds, searches, and tells."""
    begun = time.monotonic()
    job = Job(request["case"])
    built = time.monotonic() - begun
    solver, watch = cp_model.CpSolver(), Watch()
    solver.parameters.num_workers = WORKERS
    # Of the settings tried on brewpub-1 (presolve in full, without, in one round; probing, symmetry, levels of linearization) these gave the best plan: in full,
    # presolve alone takes most of the time.
    solver.parameters.max_presolve_iterations = 1
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.max_time_in_seconds = request["seconds"]
    solver.parameters.relative_gap_limit = request["gap"]
    found = job.result(solver, solver.solve(job.model, watch))
    constraints = len(job.model.proto.constraints)
    variables = len(job.model.proto.variables)
    return found | {"constraints": constraints, "variables": variables, "built": built, "first": watch.first}


def main():
    request = json.load(sys.stdin)
    try:
        found = measure(request)
    except Refused as refused:
        found = {"status": "refused", "why": str(refused)}
    found["version"] = ortools.__version__
    found["peak"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(json.dumps(found))


if __name__ == "__main__":
    main()
