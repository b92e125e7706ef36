"""Batches: registered by their label, with what is left of each by the book."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from flask import flash, jsonify, request, url_for
from flask.typing import ResponseReturnValue

from qa.assess.lot_balance import LotBook, lot_books
from qa.record.kinds.supplies import Lot
from qa.record.registry import Kind
from qa.services.access import Act
from qa.services.bar_code import read_label
from qa.services.earlier_supplies import earlier_lots
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Receipt, record
from qa.texts.saying import say
from qa.trade.vocabulary import Stage
from qa.web.dates import day_text
from qa.web.frame import actor, house, render_page
from qa.web.roof.drafting import draft
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.lot_form import LotForm, amount_text, free_key, proposal
from qa.web.roof.routing import blueprint
from qa.web.roof.wording import begun
from qa.web.saving import Moment, saved


@dataclass(frozen=True, slots=True, kw_only=True)
class LotLine:
    """A batch in the list.

    Attributes:
        label: address of the page that photographs its label.
        left: what is left by the book, in words.
        use_by: in words, or nothing.
        is_out_of_date: whether its day has passed.
        has_label: whether its label was photographed.
    """

    text: str
    bought: str
    left: str
    use_by: str
    is_out_of_date: bool
    has_label: bool
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LotsPage:
    """Every batch of the job."""

    top: JobTop
    lots: tuple[LotLine, ...]
    may_record: bool
    new: str
    usage: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierLine:
    """A batch of an earlier job that is offered."""

    address: str
    text: str
    use_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NewLotPage:
    """A batch that is about to be registered.

    Attributes:
        bar_code: address that reads a bar code.
        shows: what photographs of the label name, "@" before the name of a field.
    """

    top: JobTop
    form: LotForm
    earlier: tuple[EarlierLine, ...]
    bar_code: str
    shows: dict[str, str]


@blueprint.get("/jobs/<job>/lots")
def lots(job: str) -> str:
    """The batches of the job, and what is left of each."""
    read = read_job(house(), actor(), job)
    today = site_day(read)
    photographed = {photo.body.lot for photo in read.job.photos}
    books = lot_books(read.frame)
    page = LotsPage(
        top=job_top(read),
        lots=tuple(_line(read, book, photographed, today) for book in books),
        may_record=actor().may(Act.RECORD_WORK),
        new=url_for("roof.new_lot", job=job),
        usage=url_for("roof.usage", job=job),
    )
    return render_page("roof/lots.html", page)


@blueprint.route("/jobs/<job>/lots/new", methods=["GET", "POST"])
def new_lot(job: str) -> ResponseReturnValue:
    """Registers a batch."""
    read = read_job(house(), actor(), job)
    known = earlier_lots(house(), actor(), job)
    chosen = next((lot for lot in known if _name(lot) == request.args.get("earlier")), None)
    form = LotForm(data=proposal(chosen) if chosen else {})
    form.photos.label.text = say("Photograph the batch label")
    form.hand_in()

    def save(moment: Moment) -> tuple[Receipt, ...]:
        return _register(read, form, moment)

    return saved(
        form,
        save,
        url_for("roof.lots", job=job),
        lambda: render_page("roof/new_lot.html", _new_page(read, form, known)),
        zone=read.job.time_zone,
    )


@blueprint.get("/jobs/<job>/lots/bar-code")
def bar_code(job: str) -> ResponseReturnValue:
    """What a bar code says, as JSON, completed from a batch that the firm has used before."""
    read = read_job(house(), actor(), job)
    label = read_label(request.args.get("text", ""), today=site_day(read))
    said: dict[str, object] = {}
    for lot in earlier_lots(house(), actor(), job):
        if lot.batch_number == label.batch_number:
            said = proposal(lot)
            break
    if label.batch_number:
        said["batch_number"] = label.batch_number
    if label.use_by:
        said["use_by"] = label.use_by.isoformat()
    if label.net_kg or label.net_l:
        said |= {"quantity": label.net_kg or label.net_l, "unit": "kg" if label.net_kg else "l"}
    return jsonify(fields=said, gtin=label.gtin, text=label.text)


def _register(read: ReadJob, form: LotForm, moment: Moment) -> tuple[Receipt, ...]:
    taken = [lot.body.lot for lot in read.job.lots]
    held = next((lot.body.lot for lot in read.job.lots if lot.id == form.entry_id.data), None)
    key = held or free_key(form.batch_number.data, taken)
    stage = (read.stage_in_hand or Stage.COMPLETION).value
    drafts = [draft(form, moment, Kind.LOT, form.body(key))]
    drafts += form.photo_drafts(moment, {"stage": stage, "lot": key, "caption": "Batch label"})
    receipts = record(house(), actor(), read.id, drafts, now=moment.now)
    if form.use_by.data and form.use_by.data < moment.at.date().isoformat():
        flash(
            say(
                "Batch %(batch)s is out of date since %(day)s. It is registered; every mix made "
                "of it will be outside its limits.",
                batch=form.batch_number.data,
                day=_day(form.use_by.data),
            )
        )
    return receipts


def _new_page(read: ReadJob, form: LotForm, known: tuple[Lot, ...]) -> NewLotPage:
    stage = (read.stage_in_hand or Stage.COMPLETION).value
    return NewLotPage(
        top=job_top(read),
        form=form,
        earlier=tuple(
            EarlierLine(
                address=url_for("roof.new_lot", job=read.id, earlier=_name(lot)),
                text=say(
                    "%(word)s: %(product)s, batch %(batch_number)s",
                    word=begun(lot.material.value),
                    product=lot.product,
                    batch_number=lot.batch_number,
                ),
                use_by=say("use by %(day)s", day=_day(lot.use_by.isoformat()))
                if lot.use_by
                else "",
            )
            for lot in known
        ),
        bar_code=url_for("roof.bar_code", job=read.id),
        shows={"stage": stage, "lot_entry": "@entry_id", "caption": "Batch label"},
    )


def _line(read: ReadJob, book: LotBook, photographed: set[str | None], today: date) -> LotLine:
    lot = book.lot.body
    left = say("cannot be told: something was taken in a unit that its own does not turn into")
    if book.balance is not None:
        left = amount_text(book.balance.left_by_book, lot.unit)
    return LotLine(
        text=say(
            "%(product)s, batch %(batch_number)s",
            product=lot.product,
            batch_number=lot.batch_number,
        ),
        bought=f"{begun(lot.material.value)}, {amount_text(lot.quantity, lot.unit)}",
        left=left,
        use_by=_day(lot.use_by.isoformat()) if lot.use_by else "",
        is_out_of_date=lot.use_by is not None and lot.use_by < today,
        has_label=lot.lot in photographed,
        label=url_for("roof.new_photo", job=read.id, lot=lot.lot),
    )


def _name(lot: Lot) -> str:
    return f"{lot.material}/{lot.product}/{lot.batch_number}"


def _day(iso: str) -> str:
    return day_text(date.fromisoformat(iso))
