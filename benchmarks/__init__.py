"""Benchmarks: `python -m benchmarks NAME` prints a table."""
