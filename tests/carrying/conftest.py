from typing import Any

import pytest

from tests.erasure.conftest import erasure_list, known

__all__ = ["erasure_list", "known"]


@pytest.fixture
def plain_papers(request: Any, monkeypatch: Any) -> None:
    """Papers are laid out where they are looked at, and nowhere else: it takes a second each."""
    if "papers" not in request.node.name:
        monkeypatch.setattr("fittings.carrying.packing.ticket_pdf", lambda ticket, **how: b"%PDF")
