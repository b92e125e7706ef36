"""Make the typefaces of the site from those of the packs; run only to renew them.

    python make_site_faces.py

A phone on a roof waits for every byte, so the site has three faces and not six, cut down further:
the letters of British English, figures of one width, and kerning. The letters that only names from
further languages need stand in a second file each, which a browser fetches where a page has one.
The same input gives the same bytes; `SHA256SUMS` beside each face proves it.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

from fontTools import subset

HERE = Path(__file__).resolve().parent
FACES = (
    ("source-sans-3.52.0", "LaidtrueSans-Regular"),
    ("source-sans-3.52.0", "LaidtrueSans-Semibold"),
    ("source-serif-4.5.1", "LaidtrueSerif-Regular"),
)
USUAL = (
    (0x0020, 0x007E),  # Basic Latin
    (0x00A0, 0x00A0),  # no-break space
    (0x00A3, 0x00A3),  # pound
    (0x00AB, 0x00AB),  # angle quotes
    (0x00B0, 0x00B3),  # degree, plus-minus, squared, cubed
    (0x00B5, 0x00B5),  # micro
    (0x00B7, 0x00B7),  # middle dot
    (0x00BB, 0x00BE),  # angle quotes, fractions
    (0x00D7, 0x00D7),  # multiplication sign
    (0x00F7, 0x00F7),  # division sign
    (0x2013, 0x2014),  # dashes
    (0x2018, 0x201E),  # quotation marks
    (0x2026, 0x2026),  # ellipsis
    (0x202F, 0x202F),  # narrow no-break space
    (0x2190, 0x2193),  # arrows
    (0x2212, 0x2212),  # minus
    (0x2264, 0x2265),  # comparisons
)
RARE = (
    (0x00C0, 0x00D6),  # letters of Latin-1
    (0x00D8, 0x00F6),
    (0x00F8, 0x00FF),
    (0x0100, 0x017F),  # Latin Extended-A
    (0x0218, 0x021B),  # Romanian S and T with comma below
    (0x1E80, 0x1E85),  # Welsh W
    (0x1EF2, 0x1EF3),  # Welsh Y
)
PARTS = (("", USUAL), ("-Names", RARE))
FEATURES = ("kern", "tnum", "ccmp", "locl")


def cut(source: Path, target: Path, ranges: tuple[tuple[int, int], ...]) -> None:
    """Write the characters of `ranges` of one face as WOFF2."""
    options = subset.Options()
    options.layout_features = list(FEATURES)
    options.hinting = False
    options.flavor = "woff2"
    options.recalc_timestamp = False
    font = subset.load_font(str(source), options)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=[code for first, last in ranges for code in range(first, last + 1)])
    cutter.subset(font)
    subset.save_font(font, str(target), options)


def main() -> None:
    """Write every face beside the one it comes from, and each folder's list of digests."""
    for home, face in FACES:
        for suffix, ranges in PARTS:
            folder = HERE / home
            cut(folder / f"{face}.ttf", folder / f"{face}{suffix}.woff2", ranges)
    for home in sorted({home for home, _ in FACES}):
        files = sorted(path for path in (HERE / home).iterdir() if path.name != "SHA256SUMS")
        sums = (f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {path.name}\n" for path in files)
        (HERE / home / "SHA256SUMS").write_text("".join(sums), encoding="ascii")


if __name__ == "__main__":
    main()
