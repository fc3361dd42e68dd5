"""Sentences in the reader's language: gettext over catalogs that babel reads.

British English is the source: a template is its own message. Catalogs are files such as
``translations/de.po`` beside the code that says the sentences, and in a folder of plugins beside
the plugins. What none of them has is said in English, and counted.
"""

from __future__ import annotations

import gettext
import io
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from babel.messages.mofile import write_mo
from babel.messages.pofile import PoFileError, read_po

from configurator.core.errors import FitwrightError
from configurator.core.filled_text import FilledText

if TYPE_CHECKING:
    from collections.abc import Sequence

FOLDER = "translations"
SOURCE = "en"
# Catalogs are written by hand.
LARGEST_FILE = 4_000_000  # bytes


class Translator:
    """Says sentences in a language.

    Parameters
    ----------
    language
        Such as ``"de"``.
    catalogs
        Asked in this order.

    Attributes
    ----------
    asked, missing
        The sentences that were said so far, and those of them that no catalog has.
    """

    def __init__(
        self, language: str = SOURCE, catalogs: Sequence[gettext.NullTranslations] = ()
    ) -> None:
        self.language = language
        self._catalogs = tuple(catalogs)
        self.asked: set[str] = set()
        self.missing: set[str] = set()

    @property
    def spoken(self) -> bool:
        """Whether anything is translated at all; British English is the source."""
        return bool(self._catalogs) or self.language == SOURCE

    def text(self, message: str) -> str:
        """Return a message in the language; in English where nobody has translated it.

        Examples
        --------
        >>> Translator().text("Total")
        'Total'
        """
        if isinstance(message, FilledText):
            return message.filled(self.text(message.template))
        if not message.strip() or self.language == SOURCE or not self._catalogs:
            return message
        self.asked.add(message)
        for catalog in self._catalogs:
            translated = catalog.gettext(message)
            if translated != message:
                return translated
        if not any(_has(catalog, message) for catalog in self._catalogs):
            self.missing.add(message)
        return message

    def say(self, template: str, **values: Any) -> str:
        """Return a template in the language, with its named values.

        Examples
        --------
        >>> Translator().say("{days} days", days=3)
        '3 days'
        """
        return self.text(template).format(**values)


def _has(catalog: gettext.NullTranslations, message: str) -> bool:
    known: Any = getattr(catalog, "_catalog", {})
    return message in known


def translator(language: str, folders: Sequence[Path]) -> Translator:
    """Return what says sentences in a language.

    Parameters
    ----------
    language
        Such as ``"de"``.
    folders
        With catalogs in them, one for each language; asked in this order.

    Raises
    ------
    FitwrightError
        If a catalog cannot be read.
    """
    if language == SOURCE:
        return Translator()
    files = [folder / f"{language}.po" for folder in folders]
    return Translator(language, [_catalog(file) for file in files if file.is_file()])


@lru_cache(maxsize=32)
def _catalog(file: Path) -> gettext.GNUTranslations:
    """Read a catalog; nothing needs to be compiled beforehand."""
    if file.stat().st_size > LARGEST_FILE:
        message = f"{file}: too large for a catalog of translations"
        raise FitwrightError(message)
    try:
        with file.open("rb") as stream:
            catalog = read_po(stream, abort_invalid=True)
    except (PoFileError, UnicodeDecodeError, ValueError) as problem:
        message = f"{file}: cannot be read as a catalog of translations: {problem}"
        raise FitwrightError(message) from problem
    compiled = io.BytesIO()
    write_mo(compiled, catalog)
    compiled.seek(0)
    return gettext.GNUTranslations(compiled)
