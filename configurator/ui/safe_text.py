"""Text on the page: what is from a catalog never becomes markup."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.ui.talk.talk_words import exact_money

if TYPE_CHECKING:
    pass

_SIGNS = "\\`*_{}[]()#+-.!|~<>$:&@"


def plain(text: str) -> str:
    r"""Keep text from being read as markup.

    Examples
    --------
    >>> plain("[a](b) :red[c]")
    '\\[a\\]\\(b\\) \\:red\\[c\\]'
    """
    for sign in _SIGNS:
        text = text.replace(sign, f"\\{sign}")
    return text.replace("\n", " ")


def listed(texts: list[str]) -> str:
    """Write texts as a list."""
    return "\n".join(f"- {plain(text)}" for text in texts)


def difference(minor: int, currency: str) -> str:
    """Say a difference of prices.

    Examples
    --------
    >>> difference(1250, "EUR"), difference(-100, "EUR"), difference(0, "EUR")
    ('€12.50 more', '€1.00 less', 'the same')
    """
    if minor == 0:
        return "the same"
    return f"{exact_money(abs(minor), currency)} {'more' if minor > 0 else 'less'}"
