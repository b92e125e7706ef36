"""Job and specification in, assessment out: one module for each subject that is judged.

Everything here is a pure function. No limit stands in this package; the specification brings them
all.
"""
