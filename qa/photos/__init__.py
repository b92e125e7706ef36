"""Facts about a photograph, and the clean copies that pages and packs show. No database.

An original is read, never changed. `intake` says what an original is, `renditions` makes and keeps
its copies; `decoding` is the one door through which a picture's bytes reach a decoder.
"""
