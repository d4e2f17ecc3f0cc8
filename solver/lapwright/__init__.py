"""Lap siding: from a measured house to an order, cut sheets and elevations."""

__version__ = "0.1.0"
