"""The take-off as people and programs read it: a table of text, JSON, CSV, and one page of PDF.

`rows` puts an order into words, `listing` writes them as text, `sheet` makes the page. The listing
needs no PDF maker, so nothing is imported here.
"""
