"""Times on this machine: `python -m benchmarks`, or `make benchmark`. One file a subject; off in the test suite."""
