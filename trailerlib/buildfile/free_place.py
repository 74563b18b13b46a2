"""A file beside whatever is there already: written in one step under the first free name."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from trailerlib.design.errors import DesignError


def write_free(folder: Path, name: str, end: str, data: bytes) -> Path:
    """Write a file under the first free name; one with the very same bytes is taken as it is.

    Parameters
    ----------
    folder : where; it is made when it does not exist
    name : without its end
    end : such as ``.pdf``
    data : the bytes

    Raises
    ------
    DesignError
        When the folder cannot be written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        number = 1
        while (target := folder / (f"{name}{end}" if number == 1 else f"{name}-{number}{end}")).exists():
            if target.is_file() and target.read_bytes() == data:
                return target
            number += 1
        handle, temporary = tempfile.mkstemp(prefix=".", suffix=".part", dir=folder)
        try:
            with os.fdopen(handle, "wb") as opened:
                opened.write(data)
                opened.flush()
                os.fsync(opened.fileno())
            os.chmod(temporary, 0o644)
            os.link(temporary, target)  # fails when the name was taken meanwhile, where a rename would overwrite
        finally:
            Path(temporary).unlink(missing_ok=True)
    except OSError as error:
        raise DesignError(f"{folder.name or folder}: it cannot be written there ({error.strerror}).") from None
    return target
