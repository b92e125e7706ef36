"""Specifications: limits, charts and rates as data, and their loader."""
