"""Benchmarks of PERFORMANCE goals 1 to 10, run by `python -m tests.bench`; not part of the test run."""
