"""Make the typefaces of the packs from the two published families; run only to renew them.

    python make_faces.py FOLDER-WITH-THE-TWO-UNPACKED-PACKAGES

The npm packages `source-sans` 3.52.0 and `source-serif` 4.5.1 (both OFL-1.1) hold the complete
families. Each face is cut down to the characters that packs use, loses its hints, which print does
not need, and gets a name of ours, because the licence reserves the name "Source" for unmodified
files. The same input gives the same bytes, so `SHA256SUMS` proves where the shipped files come
from. One static TrueType file per face, uncompressed: a renderer that had to unpack six web
fonts paid 0.4 s for it in every document.
"""

from __future__ import annotations

import hashlib
import shutil
import sys
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

HERE = Path(__file__).resolve().parent

FACES = (
    ("source-sans", "3.52.0", "SourceSans3-Regular", "Laidtrue Sans", "Regular"),
    ("source-sans", "3.52.0", "SourceSans3-Semibold", "Laidtrue Sans", "Semibold"),
    ("source-serif", "4.5.1", "SourceSerif4-Regular", "Laidtrue Serif", "Regular"),
    ("source-serif", "4.5.1", "SourceSerif4-It", "Laidtrue Serif", "Italic"),
    ("source-serif", "4.5.1", "SourceSerif4-Semibold", "Laidtrue Serif", "Semibold"),
    ("source-serif", "4.5.1", "SourceSerif4Display-Regular", "Laidtrue Display", "Regular"),
)
"""Package, version, file in its TTF folder, our family name, our style name."""

RANGES = (
    (0x0020, 0x007E),  # Basic Latin
    (0x00A0, 0x017F),  # Latin-1 Supplement, Latin Extended-A: European names
    (0x0218, 0x021B),  # Romanian S and T with comma below
    (0x02C6, 0x02DD),  # spacing accents
    (0x0300, 0x0304),  # combining accents, for names that arrive decomposed
    (0x0306, 0x030C),
    (0x0326, 0x0328),
    (0x0391, 0x03C9),  # Greek: symbols of quantities
    (0x1E80, 0x1E85),  # Welsh W
    (0x1EF2, 0x1EF3),  # Welsh Y
    (0x2002, 0x200A),  # spaces
    (0x2010, 0x2027),  # hyphens, dashes, quotation marks, dagger, bullet, ellipsis
    (0x202F, 0x203A),  # narrow no-break space, per mille, primes, angle quotes
    (0x2044, 0x2044),  # fraction slash
    (0x2070, 0x209C),  # superscripts and subscripts
    (0x20AC, 0x20AC),  # euro
    (0x2113, 0x2122),  # litre, numero, trade mark
    (0x2126, 0x212E),  # ohm, estimated
    (0x2150, 0x215F),  # fractions
    (0x2190, 0x2193),  # arrows
    (0x2202, 0x2265),  # mathematical operators, minus and the comparisons among them
    (0x25A0, 0x25CF),  # the plain geometric marks
    (0x2713, 0x2717),  # tick and cross
)

FEATURES = (
    "kern", "liga", "ccmp", "locl", "mark", "mkmk",
    "tnum", "pnum", "lnum", "onum", "zero", "frac", "numr", "dnom",
    "sups", "subs", "sinf", "ordn", "smcp", "c2sc", "case",
)  # fmt: skip


def cut(source: Path) -> TTFont:
    """Return the face of one published file with only our characters and features.

    Args:
        source: a static TrueType file of the published family.

    Returns:
        The face, still under its published name.
    """
    options = subset.Options()
    options.layout_features = list(FEATURES)
    options.hinting = False
    options.notdef_outline = True
    options.recalc_timestamp = False
    font = subset.load_font(str(source), options)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=[code for first, last in RANGES for code in range(first, last + 1)])
    cutter.subset(font)
    return font


def rename(font: TTFont, family: str, style: str) -> None:
    """Put our names into a face and leave its copyright and licence as they are."""
    names = font["name"]
    postscript = f"{family.replace(' ', '')}-{style}"
    ours = {1: family, 2: style, 3: f"1.000;{postscript}", 4: f"{family} {style}", 6: postscript}
    names.names = [record for record in names.names if record.nameID in {0, 13, 14}]
    for number, text in ours.items():
        names.setName(text, number, 3, 1, 0x409)


def main(folder: Path) -> None:
    """Write every face, each package's licence and each package's list of digests."""
    homes: dict[Path, Path] = {}
    for package, version, file, family, style in FACES:
        home = HERE / f"{package}-{version}"
        home.mkdir(exist_ok=True)
        homes[home] = folder / package / "package"
        font = cut(homes[home] / "TTF" / f"{file}.ttf")
        rename(font, family, style)
        font.save(home / f"{family.replace(' ', '')}-{style}.ttf", reorderTables=True)
    for home, package_folder in homes.items():
        shutil.copyfile(package_folder / "LICENSE.md", home / "LICENSE.md")
        files = sorted(path for path in home.iterdir() if path.name != "SHA256SUMS")
        sums = (f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {path.name}\n" for path in files)
        (home / "SHA256SUMS").write_text("".join(sums), encoding="ascii")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
