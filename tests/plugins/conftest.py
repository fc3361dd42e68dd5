"""What the tests of the bundled plugins share."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests import bundled

if TYPE_CHECKING:
    from configurator.model.knowledge import Trade


@pytest.fixture(scope="session")
def trade() -> Trade:
    """Everything that the bundled plugins declare; rules are called as plain functions."""
    return bundled.trade()
