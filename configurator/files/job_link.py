"""A job as one parameter of a link: versioned, checked against damage, refused when it is odd.

The parameter holds the job's TOML text, so that it says the same as the file does, whatever
release made it: ``1.<text, compressed, in the letters of RFC 4648, section 5>.<CRC-32>``. It is no
secret and no signature: whoever has the link can read the job.
"""

from __future__ import annotations

import base64
import binascii
import re
import zlib
from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.core.errors import InputError, Problem
from configurator.files.job_text import read_job, write_job

if TYPE_CHECKING:
    from configurator.model.jobs import Job
    from configurator.model.knowledge import Trade

VERSION = "1"
# Browsers and servers take links of some 8,000 signs (from memory); a job is one or two thousand.
LONGEST = 8_000
LONGEST_TEXT = 200_000


def to_parameter(job: Job, trade: Trade) -> str:
    """Write a job as a parameter of a link.

    Parameters
    ----------
    job
        With catalogs by name: a path means nothing on another computer.
    trade
        Knows the units in which values are written.

    Raises
    ------
    InputError
        If the job is too long for a link.
    """
    # Who ordered stays out of links: they are copied, sent and kept in histories.
    text = write_job(replace(job, customer=None), trade).encode()
    packed = base64.urlsafe_b64encode(zlib.compress(text, 9)).decode().rstrip("=")
    made = f"{VERSION}.{packed}.{zlib.crc32(text):08x}"
    if len(made) > LONGEST:
        raise _refused(do="save it as a file and send that", what="the job is too long for a link")
    return made


def from_parameter(parameter: str, trade: Trade) -> Job:
    """Read a job from a parameter of a link.

    Raises
    ------
    InputError
        If it is damaged, of another version, or not a sound job.

    Examples
    --------
    >>> from_parameter("9.abc.00000000", None)
    Traceback (most recent call last):
    ...
    configurator.core.errors.InputError: link: it is of version 9, this program reads version 1; ...
    """
    if len(parameter) > LONGEST:
        raise _refused(do="ask for the job as a file", what="it is too long")
    version, _, rest = parameter.partition(".")
    if version != VERSION and re.fullmatch(r"\d{1,6}", version):
        raise _refused(
            do="ask for the job as a file, or for a newer release",
            what=f"it is of version {version}, this program reads version {VERSION}",
        )
    packed, _, checksum = rest.partition(".")
    damaged = _refused(do="copy the whole link again", what="it is damaged or cut off")
    if version != VERSION or not re.fullmatch(r"[A-Za-z0-9_-]+", packed):
        raise damaged
    try:
        data = base64.urlsafe_b64decode(packed + "=" * (-len(packed) % 4))
        unpacking = zlib.decompressobj()
        text = unpacking.decompress(data, LONGEST_TEXT)
        whole = unpacking.eof and not unpacking.unused_data
        written = text.decode()
    except (binascii.Error, zlib.error, UnicodeDecodeError) as problem:
        raise damaged from problem
    if not whole or f"{zlib.crc32(text):08x}" != checksum:
        raise damaged
    return read_job(written, trade)


def _refused(*, what: str, do: str) -> InputError:
    return InputError([Problem("link", what, do)])
