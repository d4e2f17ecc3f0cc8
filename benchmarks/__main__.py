"""Runs one benchmark: `python -m benchmarks cutting --data FOLDER --limit SECONDS`."""

from __future__ import annotations

import sys
from importlib import import_module

BENCHMARKS = {
    "cutting": "benchmarks.cutting",
    "houses": "benchmarks.houses",
    "rivals": "benchmarks.rivals",
    "takeoff": "benchmarks.takeoff",
}


def main(arguments: list[str]) -> int:
    """Run the benchmark that the first argument names."""
    if not arguments or arguments[0] not in BENCHMARKS:
        names = ", ".join(sorted(BENCHMARKS))
        print(f"usage: python -m benchmarks NAME ...; NAME is one of: {names}")
        return 2
    run = import_module(BENCHMARKS[arguments[0]]).main
    return int(run(arguments[1:]))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
