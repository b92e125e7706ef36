"""A document of the size and make of a warranty pack, all of it invented, for tests and benches.

Cover, contents, prose, findings, charts, long tables with digests, photo pages, notes: every
construct of the style sheet stands in it at least once, and how often is the caller's choice.
"""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass
from datetime import UTC, datetime
from html import escape
from pathlib import Path

from PIL import Image, ImageDraw

from qa.packs.rendering import Attachment, Document

DATED = datetime(2026, 5, 14, 9, 30, tzinfo=UTC)

PROSE = (
    "The deck was dry to the touch and the boards were laid across the joists with every joint "
    "staggered. Each reading was taken with the instrument named beside it, at the time stated, "
    "and the limit it was judged against stands in the specification with its source. "
    "The deck lay 6.1\u00a0K above the dew point, twice what the specification asks for, so no "
    "film of water could form under the resin while it was laid."
)

VERDICTS = (
    ("within", "within"),
    ("within", "within"),
    ("within", "within"),
    ("outside", "outside"),
    ("undecided", "undecided"),
    ("not-recorded", "not recorded"),
    ("put-right", "put right"),
    ("conceded", "conceded"),
    ("not-applicable", "not applicable"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How much of each construct the sample holds.

    Attributes:
        rows: rows of the entry table, 7 cells each.
        photos: photographs, two in a row.
        charts: drawings in SVG.
        paragraphs: paragraphs of prose beside those that the sample always has.
    """

    rows: int = 300
    photos: int = 120
    charts: int = 6
    paragraphs: int = 24


def draw_photos(folder: Path, count: int, width_px: int = 1000) -> dict[str, Path]:
    """Draw print copies with some grain, so that they weigh what a photograph weighs.

    Args:
        folder: where the JPEG files go.
        count: how many, each different.
        width_px: the longer side in pixels.

    Returns:
        Path by SHA-256, in the order of drawing.
    """
    folder.mkdir(parents=True, exist_ok=True)
    size = (width_px, width_px * 3 // 4)
    grain = Image.effect_noise(size, 22).convert("RGB")
    photos: dict[str, Path] = {}
    for number in range(count):
        tone = (90 + number * 7 % 90, 110 + number * 5 % 70, 96 + number * 3 % 80)
        picture = Image.blend(Image.new("RGB", size, tone), grain, 0.3)
        pen = ImageDraw.Draw(picture)
        pen.line((0, 80 + number % 300, size[0], 240 + number % 400), fill=(235, 230, 215), width=9)
        pen.text((40, 40), f"drawn picture {number + 1}", fill="white", font_size=40)
        path = folder / f"{number:04}.jpg"
        picture.save(path, "JPEG", quality=82)
        photos[hashlib.sha256(path.read_bytes()).hexdigest()] = path
    return photos


def sample_document(photos: dict[str, Path], size: Size = Size()) -> Document:
    """Compose the sample.

    Args:
        photos: print copies by digest, at least `size.photos` of them.
        size: how much of each construct.

    Returns:
        The document, ready for `render_pdf`.
    """
    record = "\n".join(f'{{"seq":{number},"kind":"note"}}' for number in range(size.rows))
    return Document(
        html=sample_page(tuple(photos)[: size.photos], size),
        title="Warranty file: flat roof, 3 Example Row",
        author="Sample Roofing (invented)",
        subject="Quality record of one hand-laid GRP flat roof",
        dated=DATED,
        attachments=(
            Attachment(
                name="record.jsonl",
                content=record.encode(),
                media_type="application/jsonl",
                description="The record that this pack was made from",
            ),
            Attachment(
                name="assessment.json",
                content=b'{"findings":[]}',
                media_type="application/json",
                description="The assessment that this pack prints",
            ),
        ),
        photos=photos,
    )


def sample_page(digests: tuple[str, ...], size: Size) -> str:
    """Return the complete page of the sample."""
    chapters = (
        ("summary", "What this roof is", _summary()),
        ("stages", "Stage by stage", _prose(size.paragraphs)),
        ("readings", "Readings in pictures", _charts(size.charts)),
        ("photographs", "Photographs", _photo_pages(digests)),
        ("entries", "The record, entry by entry", _entries(size.rows)),
        ("care", "Looking after it", _care()),
    )
    contents = "".join(
        f'<li><a href="#{key}"><span class="numeral">{number}</span> {title}</a>'
        + (
            '<ol><li><a href="#deck">Deck</a></li><li><a href="#laminate">Laminate</a></li></ol>'
            if key == "stages"
            else ""
        )
        + "</li>"
        for number, (key, title, _) in enumerate(chapters, 1)
    )
    body = "".join(
        f'<section class="chapter" id="{key}"><h2><span class="numeral">{number}</span> '
        f"{title}</h2>{text}</section>"
        for number, (key, title, text) in enumerate(chapters, 1)
    )
    return (
        '<!DOCTYPE html><html lang="en-GB"><head><meta charset="utf-8">'
        '<title>Warranty file</title><link rel="stylesheet" href="pack:style/pack.css"></head>'
        f'<body>{_cover()}<nav class="contents"><h2>Contents</h2><ol>{contents}</ol></nav>'
        f"{body}</body></html>"
    )


def _cover() -> str:
    facts = (
        ("Job", '<span class="job">Job 2026-014, 3 Example Row</span>'),
        ("Roof", "Main roof, 41.6 m², fall 1:62; porch, 3.2 m²"),
        ("Laid", "11 to 13 May 2026, two installers, released at each hold point"),
        ("Specification", "general-grp/1, pinned for this job"),
        ("Edition", '<span class="edition">Warranty file, edition 1, record e3b0c442…</span>'),
    )
    return (
        '<header class="cover"><p class="kind">Warranty file</p>'
        "<h1>The flat roof at 3\u00a0Example Row</h1>"
        '<p class="subtitle">What was laid, by whom and with what, each figure beside the limit '
        "it was judged against, and the photographs taken on the day</p>"
        f"{_facts(facts)}"
        '<p class="small">The people, firm and address in this sample are invented. The complete '
        "record travels inside this file and can be checked without the firm that made it.</p>"
        "</header>"
    )


def _facts(facts: tuple[tuple[str, str], ...]) -> str:
    rows = "".join(f"<div><dt>{label}</dt><dd>{value}</dd></div>" for label, value in facts)
    return f'<dl class="facts">{rows}</dl>'


def _verdict(number: int) -> str:
    key, word = VERDICTS[number % len(VERDICTS)]
    return f'<span class="{key}">{word}</span>'


def _summary() -> str:
    rows = "".join(
        f'<tr{" class=apart" if number % 9 in (3, 4, 6, 7) else ""}><th scope="row">{check}</th>'
        f'<td class="n">{value}</td><td>{limit}</td><td>{_verdict(number)}</td></tr>'
        for number, (check, value, limit) in enumerate(
            (
                ("Finished fall", "16.1 mm/m", "≥ 12.5 mm/m"),
                ("Moisture content of the deck", "14 %", "≤ 18 %"),
                ("Deck above dew point", "6.1 K", "≥ 3 K"),
                ("Catalyst dose, mix 4", "27.0 ml/kg", "15 – 25 ml/kg"),
                ("Glass mass fraction", "0.34 ± 0.02", "0.22 – 0.35"),
                ("Laminate thickness", "–", "from theory, −15 %"),
                ("Pinholes, bay r2b3", "0 per m²", "0 per m²"),
                ("Topcoat", "0.46 kg/m²", "0.35 – 0.40 kg/m²"),
                ("Back fall", "–", "none"),
            )
        )
    )
    return (
        '<p class="standfirst">A wet-laid roof of glass-fibre mat in polyester resin, 41.6 m², on '
        "boards that were dry, with every stage seen before it was covered.</p>"
        f"<p>{PROSE}</p><aside class=margin>Nine of the 214 checks are shown here, the others in "
        f"chapter 2.</aside><p>{PROSE}</p>"
        '<table class="data"><caption>The checks that decide</caption><colgroup><col '
        'style="width:40mm"><col style="width:32mm"><col style="width:44mm"><col></colgroup>'
        '<thead><tr><th scope="col">Check</th><th scope="col" class="n">Found</th>'
        '<th scope="col">Limit</th><th scope="col">Verdict</th></tr></thead>'
        f"<tbody>{rows}</tbody></table>"
        '<section class="finding"><h3>One mix had too much hardener</h3><p class="plain">One '
        "bucket was mixed with a little more hardener than the weather asked for. The bay it went "
        "into was cut out and laid again on the same day.</p>"
        '<p class="exact">mix.dose, mix-4: 27.0 ml/kg at 14.5 °C against 15 – 25 ml/kg '
        "(published chart; band ±25 %: project choice). Nonconformity 1: rework, closed.</p>"
        "</section>"
    )


def _prose(count: int) -> str:
    text = "".join(f"<p>{PROSE}</p>" for _ in range(count // 2))
    return (
        f'<h3 id="deck">Deck</h3>{text}<ul><li>boards across the joists</li><li>fixings at 180 mm,'
        " four to a joist line</li><li>a gap of 25 mm at the wall</li></ul>"
        '<aside class="note"><p>A limit marked <i>common practice</i> is a fact of the trade for '
        'which no source was found. See <a href="#care">chapter 6</a>.</p></aside>'
        f'<h3 id="laminate">Laminate</h3>{text}<ol><li>resin on the deck</li><li>mat into it</li>'
        "<li>resin on the mat, rolled until clear</li></ol>"
        '<aside class="caution"><p><b>Hardener burns eyes in seconds.</b> Goggles, gloves, eyewash '
        "at hand. The supplier’s safety data sheet and local rules come first.</p></aside>"
    )


def _charts(count: int) -> str:
    return "".join(
        f"<figure>{_chart(number)}<figcaption>Figure {number + 1}. Deck temperature and dew point, "
        "12 May 2026. The hairline is the limit, three kelvin above the dew point."
        "</figcaption></figure>"
        for number in range(count)
    )


def _chart(number: int) -> str:
    points = [(10 + step * 4, 60 - 22 * math.sin((step + number) / 9)) for step in range(90)]
    path = "M" + " L".join(f"{x:.1f} {y:.1f}" for x, y in points)
    hours = "".join(
        f'<text x="{10 + hour * 36}" y="112" font-size="7" text-anchor="middle">'
        f"{8 + hour}:00</text>"
        f'<line x1="{10 + hour * 36}" x2="{10 + hour * 36}" y1="98" y2="102" '
        'stroke="#16191d"/>'
        for hour in range(11)
    )
    degrees = "".join(
        f'<text x="384" y="{98 - value * 4}" font-size="7">{value} °C</text>'
        f'<line x1="10" x2="376" y1="{96 - value * 4}" y2="{96 - value * 4}" stroke="#c9cdd1"/>'
        for value in (5, 10, 15, 20)
    )
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 420 118" fill="#16191d" '
        'font-family="Laidtrue Sans" stroke-width="0.5">'
        f"<title>Deck temperature through day {number + 1}, lowest 8 °C at 8:00, highest 20 °C at "
        f"14:00, above the dew point throughout.</title>{hours}{degrees}"
        f'<path d="{path}" fill="none" stroke="#1d4d73" stroke-width="1.2"/></svg>'
    )


def _photo_pages(digests: tuple[str, ...]) -> str:
    figures = [
        f'<figure><img src="pack:photo/{digest}" alt="Bay r{1 + number // 8}b{1 + number % 8}, '
        f'transparent, seen from above"><figcaption><b>r{1 + number // 8}b{1 + number % 8}</b> '
        f"Laminate, before release, 12 May 2026 10:{number % 60:02}. {digest[:12]}"
        "</figcaption></figure>"
        for number, digest in enumerate(digests)
    ]
    pairs = ("".join(figures[at : at + 2]) for at in range(0, len(figures), 2))
    return "".join(f'<div class="row">{pair}</div>' for pair in pairs)


def _entries(count: int) -> str:
    rows = "".join(_entry(number) for number in range(count))
    heads = "".join(
        f'<th scope="col"{kind}>{head}</th>'
        for head, kind in (
            ("Seq", ' class="n"'),
            ("Stated", ""),
            ("Kind", ""),
            ("What it says", ""),
            ("Value", ' class="n"'),
            ("By", ""),
            ("SHA-256 of the entry", ""),
        )
    )
    widths = (11, 24, 20, 38, 19, 12, 44)
    columns = "".join(f'<col style="width:{width}mm">' for width in widths)
    return (
        '<p class="wide small">Every entry in the order of its arrival. A digest is shortened to '
        "its first 24 places; the whole of it stands in the attached record.</p>"
        f'<table class="data tight"><caption>Entries 0 to {count - 1}</caption>'
        f"<colgroup>{columns}</colgroup><thead><tr>{heads}</tr></thead>"
        f"<tbody>{rows}</tbody></table>"
    )


def _entry(number: int) -> str:
    kind = ("conditions", "mix", "examination", "photo", "measurement")[number % 5]
    digest = hashlib.sha256(str(number).encode()).hexdigest()[:24]
    says = escape(f"laminate, r{1 + number % 7}b{1 + number % 6}, transparent")
    return (
        f'<tr><td class="n">{number}</td><td>12 May {8 + number % 9:02}:{number % 60:02}</td>'
        f"<td>{kind}</td><td>{says}</td>"
        f'<td class="n">{14 + number % 7}.{number % 10} °C</td><td>ines</td>'
        f'<td class="id">{digest}</td></tr>'
    )


def _care() -> str:
    return (
        f"<p>{PROSE}</p><h3>Once a year</h3><ul><li>clear the outlet and the gutter</li><li>wash "
        "with water and a soft brush</li><li>look at every edge and at the upstands</li></ul>"
        '<div class="signatures"><div>For the firm, name and date</div><div>For the client, name '
        "and date</div></div>"
    )
