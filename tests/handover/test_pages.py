"""The print page: what can be wished for, what is refused beside its field, what comes out."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from patterns.models import PatternVersion
from tests.conftest import Signed


def _get(client: Client, name: str, version: PatternVersion, **asked: Any) -> Any:
    return client.get(reverse(name, args=[version.pattern_id, version.number]), asked)


def test_page_opens_with_the_usual_and_shows_pages_and_map(
    workroom: Signed, version: PatternVersion
) -> None:
    answer = _get(workroom[0], "pattern-print", version)
    assert answer.status_code == 200
    html = answer.content.decode()
    assert "pages of A4" in html
    assert 'data-layer="JOIN"' in html
