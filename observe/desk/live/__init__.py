"""Live: one observer, the learners in the order they stand, no mark lost."""
