"""Packs for programs: asked for, watched, taken away."""

from __future__ import annotations

from flask import Response, jsonify, make_response
from flask.typing import ResponseReturnValue

from qa.services.pack_making import ask_for_pack, pack_of, packs_of
from qa.services.packing import PackKind
from qa.web import clock
from qa.web.api.answers import pack as pack_json
from qa.web.api.asked import refused, sent_json
from qa.web.api.routing import blueprint
from qa.web.frame import actor, house
from qa.web.roof.packs import send_pack

_KINDS = {kind.value: kind for kind in PackKind}


@blueprint.get("/jobs/<job>/packs", endpoint="packs")
def list_packs(job: str) -> Response:
    """Every pack of a job, the newest first."""
    found = packs_of(house(), actor(), job)
    return jsonify(packs=[pack_json(job, made) for made in found])


@blueprint.post("/jobs/<job>/packs", endpoint="ask_for_pack")
def ask(job: str) -> ResponseReturnValue:
    """Has a pack made; the same pack of the same record is made once."""
    packs_of(house(), actor(), job)  # a job that is not there is told before what was sent
    sent = sent_json()
    word = sent.get("kind") if type(sent) is dict and sent.keys() == {"kind"} else None
    kind = _KINDS.get(word) if type(word) is str else None
    if kind is None:
        raise refused("kind", f'Send one object, {{"kind": one of {", ".join(_KINDS)}}}.')
    number = ask_for_pack(house(), actor(), job, kind, now=clock.now())
    answer = pack_json(job, pack_of(house(), actor(), job, number))
    response = make_response(jsonify(answer), 202)
    response.headers["Location"] = answer["state"]
    return response


@blueprint.get("/jobs/<job>/packs/<int(max=100000):number>", endpoint="pack")
def show_pack(job: str, number: int) -> Response:
    """How far a pack is."""
    return jsonify(pack_json(job, pack_of(house(), actor(), job, number)))


@blueprint.get("/jobs/<job>/packs/<int(max=100000):number>/file", endpoint="pack_file")
def send_file(job: str, number: int) -> Response:
    """The PDF of a pack that is made."""
    return send_pack(job, number)
