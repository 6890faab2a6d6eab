"""Reads cases from standard input, one JSON document a line, and writes an answer a line, in the same order.

Each line is `{"case": .., "effort": .., "seconds": ..}`: effort in the deterministic time of CP-SAT for each of some searches, seconds at most for each.
An answer has `status` (`optimal`, `feasible`, `unknown` or `infeasible`, or else `refused` or `failed` with `why`), and `objective`
and `bound` in cents, or with `aim: output` in hundredths of a millilitre. Two cases are solved at a time.
"""

import json
import sys
import traceback
from multiprocessing import Pool

import ortools

from features import Refused
from job import Job

AT_ONCE = 2


def answer(line):
    """The answer to one request."""
    request = json.loads(line)
    try:
        found = Job(request["case"]).prove(request["effort"], request["seconds"])
    except Refused as refused:
        found = {"status": "refused", "why": str(refused)}
    except Exception:
        found = {"status": "failed", "why": traceback.format_exc()}
    found["version"] = ortools.__version__
    return json.dumps(found)


def main():
    with Pool(AT_ONCE) as pool:
        for found in pool.imap(answer, sys.stdin):
            print(found, flush=True)


if __name__ == "__main__":
    main()
