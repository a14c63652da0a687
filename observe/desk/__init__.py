"""The windows; the only place that knows Qt."""
