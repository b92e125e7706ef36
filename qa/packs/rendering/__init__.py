"""Renders one page of HTML as a PDF that can be kept, read aloud and made again byte for byte.

The steps, each a module: `document` is what goes in; `characters` makes its text settable;
`fetcher` is its only door to files; `faces` its only fonts; `marking` tells content from furniture;
`structure` and `tagging` say what each part of it is, with the types of `roles`; `finishing` and
`metadata` make it PDF/A-3a and PDF/UA-1 at once; `writing` turns it into bytes; `engine` runs them.
"""

from qa.packs.rendering.document import Attachment, Document
from qa.packs.rendering.engine import render_pdf

__all__ = ["Attachment", "Document", "render_pdf"]
