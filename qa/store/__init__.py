"""Keeping: the ledger, accounts, summaries, originals and the outbox, in a database and a folder.

Rows never leave this package: its functions take and answer frozen values. Every function that
touches what belongs to a firm takes the firm and answers nothing of another's.
"""
