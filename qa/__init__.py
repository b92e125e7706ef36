"""Laidtrue: the job-quality record and handover report generator for hand-laid GRP flat roofs."""

__version__ = "0.1.0"
