"""Reading a small text file that a person named on the command line."""

from __future__ import annotations

from pathlib import Path

from qa.errors import UsageError

LARGEST_FILE_BYTES = 10_000_000


def read_text(path: Path) -> str:
    """The text of a file.

    Raises:
        UsageError: there is no such file, it cannot be read, is not UTF-8 or above 10 MB.
    """
    try:
        if path.stat().st_size > LARGEST_FILE_BYTES:
            raise UsageError(f"{path} is larger than 10 MB; that is no list of a roof.")
        return path.read_text(encoding="utf-8-sig")
    except FileNotFoundError as error:
        raise UsageError(f"{path} does not exist; check the path.") from error
    except UnicodeDecodeError as error:
        raise UsageError(f"{path} is not UTF-8; save the file as UTF-8.") from error
    except OSError as error:
        raise UsageError(f"{path} cannot be read: {error.strerror}.") from error
