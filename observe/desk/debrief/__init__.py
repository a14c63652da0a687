"""After the seal: what an observation comes to."""
