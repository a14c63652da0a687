"""Packets: signed files that carry events between machines."""
