"""The parts of ``tests.bench.generate``: phrases, speech, habits, counting, blocks, noise."""
