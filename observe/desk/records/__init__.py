"""Records: who holds what, packets in and out, and what waits for a person."""
