"""A whole invented workshop, replayed through the same use cases as the window."""
