"""`python3 -m qa …` on a machine that has nothing but Python.

Makes the project's own environment, installs what the lock names, and hands over to `laidtrue` or
to the tools of development. Standard library only; this first module must also be readable by a
Python too old for the rest, so that the reason can be said in a sentence.
"""

from __future__ import annotations

import sys

OLDEST = (3, 11)


def main(arguments: list[str]) -> int:
    """Follow the command line; an installed package has no set-up to do."""
    if sys.version_info < OLDEST:
        found = ".".join(str(part) for part in sys.version_info[:3])
        print(
            f"Laidtrue needs Python 3.11 or newer, and this is Python {found}. Install a newer "
            f"one and call it by its own name, such as: python3.13 -m qa demo",
            file=sys.stderr,
        )
        return 2
    from qa.bootstrap import commands

    if not commands.is_checkout():
        from qa.cli import main as laidtrue

        return laidtrue()
    return commands.main(arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
