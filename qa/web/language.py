"""In which language a request is answered.

It is the one that the person's browser asks for, where there is a catalogue of it, else English.
Programs are answered in English, since they compare what they read.
"""

from __future__ import annotations

from typing import cast

from flask import Flask, Response, g, has_request_context, request

from qa.texts.catalogue import ENGLISH, Catalogue
from qa.texts.saying import speak
from qa.texts.templating import let_speak
from qa.web.frame import house, is_of_program


def speak_to_readers(app: Flask) -> None:
    """Lets an application answer each request in its reader's language."""
    let_speak(app.jinja_env)
    app.before_request(lambda: speak(_of_this_request))
    app.after_request(_tell_caches)


def _of_this_request() -> Catalogue:
    """The language of the request that is answered; found once."""
    if not has_request_context():
        return ENGLISH
    if "language" not in g:
        g.language = _asked_for()
    return cast("Catalogue", g.language)


def _asked_for() -> Catalogue:
    languages = {one.tag: one for one in house().languages}
    if len(languages) == 1 or is_of_program():
        return ENGLISH
    best = request.accept_languages.best_match(languages, default=ENGLISH.tag)
    return languages[best or ENGLISH.tag]


def _tell_caches(response: Response) -> Response:
    """A page in one language is not for those who asked for another."""
    if response.mimetype == "text/html":
        response.vary.add("Accept-Language")
    return response
