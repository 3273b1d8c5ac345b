"""Benchmarks of PERFORMANCE goals 1 to 5 and 8 to 10, run by `python -m tests.bench`; not part of the test run."""
