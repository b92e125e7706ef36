"""The arithmetic and the vocabulary of the trade; knows no record, no file and no clock.

Pure functions and values, one subject a module. Nothing here knows a specification either, or
imports anything beyond the standard library and `qa.errors`. Charts, rates, densities and limits
are arguments: they are data of a specification. Units stand in the names. Input outside a
formula's domain raises `DomainError` or `OutlineError`; a verdict is a value, never an exception.
"""
