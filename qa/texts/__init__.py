"""The texts of the site and its mail in the reader's language.

English stands in the code and is complete; `laidtrue.pot` lists it for translators, and a file
CODE.po beside it is one more language. Sentences of a judgement, a pack or an error below the site
are not among them: they are part of a dated record that reads the same for everybody.
"""
