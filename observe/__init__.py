"""Observe: fair assessment of hands-on procedures at the bedside, offline."""

__version__ = "0.1.0"
