"""Settings of this machine: who keeps them, and the page where they are chosen."""
