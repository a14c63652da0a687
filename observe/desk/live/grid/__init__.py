"""The Grid view of Live: every step of every learner, folded, open where one works."""
