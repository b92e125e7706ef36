"""The kinds of entry, one dataclass each, grouped by what they tell.

`qa.record.registry` maps a kind's word to its class.

Their annotations are read when they are imported, by `qa.record.schema`; so these modules alone do
not turn annotations into strings, which would each have to be compiled once more.
"""
