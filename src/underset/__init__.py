"""Underset plans, proves and records how a road vehicle is set on a two-post swing-arm lift."""

__version__ = "0.1.0"
