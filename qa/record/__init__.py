"""The record of one job: kinds of entry, canonical form, chain, disclosures, the fold to a `Job`.

The record is a list of entries that only grows. Nothing here reads a clock or a database; the one
module that touches files is `folder`.
"""
