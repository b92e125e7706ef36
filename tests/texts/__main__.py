"""`python3 -m qa texts`: makes qa/texts/laidtrue.pot anew, and tells what each language lacks."""

from __future__ import annotations

import sys

from qa.texts.catalogue import FOLDER, read_catalogue
from tests.texts.gathering import gather
from tests.texts.template import KEPT, template


def main() -> None:
    """Writes the template, and tells how whole each catalogue is."""
    texts = gather()
    KEPT.write_text(template(texts), encoding="utf-8")
    known = {said.english for said in texts}
    sys.stdout.write(f"{KEPT.name}: {len(known)} texts\n")
    for path in sorted(FOLDER.glob("*.po")):
        lacking = known - read_catalogue(path).forms.keys()
        sys.stdout.write(f"{path.name}: {len(lacking)} texts are said in English\n")


if __name__ == "__main__":
    main()
