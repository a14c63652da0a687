"""Who observes whom, when, and with which kit."""
