"""The kinds of entry, one dataclass each, grouped by what they tell.

`qa.record.registry` maps a kind's word to its class.
"""
