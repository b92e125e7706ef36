"""The command `laidtrue`: one module for each command, put together in `program`.

Each command imports what it needs when it runs, so that the quick ones stay quick. No logic stands
here: a command reads its options, calls one service and prints what it answers.
"""

from qa.cli.program import main

__all__ = ["main"]
