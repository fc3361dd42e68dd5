"""What is uploaded, on its way to a folder: only lists and descriptions, by their names alone."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path, PurePosixPath

from configurator.core.errors import FitwrightError
from configurator.files.catalog_files import ABOUT

MOST_FILES = 400
MOST_BYTES = 20_000_000
KINDS = (".csv", ".toml", ".svg", ".png", ".jpg", ".jpeg")  # lists, descriptions, a logo


def file_stem(name: str) -> str:
    """Make the name of a file, without its kind, of what somebody calls it.

    Examples
    --------
    >>> file_stem("C:/lists/../tyres.csv"), file_stem("…")
    ('tyres', 'list')
    """
    return _safe(PurePosixPath(name).stem)


def _safe(name: str) -> str:
    return "".join(sign for sign in name if sign.isalnum() or sign in "_-")[:60] or "list"


def unpacked(data: bytes, place: Path) -> Path:
    """Unpack the files of a catalog: by their names only, never to where an archive says.

    Raises
    ------
    FitwrightError
        If it is no archive of one catalog.
    """
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
        members = [member for member in archive.infolist() if not member.is_dir()]
        if len(members) > MOST_FILES or sum(member.file_size for member in members) > MOST_BYTES:
            raise _too_much()
        about = [member for member in members if PurePosixPath(member.filename).name == ABOUT]
        if len(about) != 1:
            what = f"there must be one {ABOUT} in it, there are {len(about)}"
            raise _refused(what, "pack one catalog's folder")
        home = PurePosixPath(about[0].filename).parent
        folder = place / (_safe(home.name) if home.name else "uploaded")
        left = MOST_BYTES
        for member in members:
            path = PurePosixPath(member.filename)
            if not path.is_relative_to(home) or path.suffix.lower() not in KINDS:
                continue
            parts = [
                f"{file_stem(part)}{PurePosixPath(part).suffix.lower()}"
                for part in path.relative_to(home).parts
            ]
            if len(parts) > 2:
                continue
            with archive.open(member) as file:
                # The size in the directory may lie: no more than is left is read.
                content = file.read(left + 1)
            left -= len(content)
            if left < 0:
                raise _too_much()
            target = folder.joinpath(*parts)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content)
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, OSError, EOFError) as problem:
        raise _refused(do="pack it again", what="it is no ZIP file that can be read") from problem
    return folder


def _too_much() -> FitwrightError:
    return _refused("it holds too much for a catalog", "pack the catalog's folder alone")


def _refused(what: str, do: str) -> FitwrightError:
    return FitwrightError(f"the file was not checked: {what}; {do}")
