"""Benchmarks, run by `python3 -m qa bench [name]` and never collected by the tests."""
