"""What is true with no machine: forms, marks, observations, scores, decisions.

Standard library only, exact numbers, no clock, no files, no randomness.
"""
