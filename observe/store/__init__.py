"""The logbook on disk; the only place that knows SQLAlchemy."""
