"""Rates learned from past jobs: what the jobs say of each rate, how sure that is, and whether it would have bid better."""
