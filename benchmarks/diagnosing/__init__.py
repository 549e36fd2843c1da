"""Benchmark of diagnoses: a keeper's walk through invented runs, and the signs-based watch."""
