"""The warranty file, for a warranty desk and an expert: every value, limit, verdict and source.

One module for each chapter makes a context of plain values; `assembly` puts them in order. Nothing
here judges: what is shown is what the assessment says, and how it is cited is for `citing`.
"""

from qa.packs.warranty.assembly import warranty_file

__all__ = ["warranty_file"]
