"""Packs: what is handed over, made from a job and its assessment."""
