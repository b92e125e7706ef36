"""Printing an answer on standard output, and what happens where it cannot be printed."""

from __future__ import annotations

import os
import sys

import click

from qa.errors import UsageError


def say(text: str) -> None:
    """Prints an answer; where it cannot be written, that is said like any other fault."""
    try:
        click.echo(text, nl=False)
    except BrokenPipeError:
        close_output()  # whoever read it has seen enough
    except OSError as error:
        close_output()
        sentence = (
            f"The answer cannot be written: {error.strerror}; make room, or send it elsewhere."
        )
        raise UsageError(sentence) from error


def close_output() -> None:
    """Sends what is left to nowhere, so that Python does not complain when it ends."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
