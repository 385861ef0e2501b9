"""The operation of a line, made by the database out of what the line says."""

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from fittings.bench.minutes import UNKNOWN_MINUTES, Estimates
from fittings.bench.worklist import in_work, loads
from fittings.models import TicketLine
from tests.factories import TicketFactory

pytestmark = pytest.mark.django_db


def line(content: dict[str, Any]) -> TicketLine:
    kept = TicketLine.objects.create(ticket=TicketFactory(), position=1, content=content)
    return TicketLine.objects.get(pk=kept.pk)


def test_a_line_of_another_time_has_no_operation_and_counts_as_unknown_work() -> None:
    assert line({"title": "as it was said then"}).operation is None
    (load,) = loads(in_work(), Estimates())
    assert (load.lines, load.minutes) == (1, UNKNOWN_MINUTES)


def test_operation_follows_the_content_even_where_it_is_written_past_save() -> None:
    kept = line({"operation": "pitch"})
    assert kept.operation == "pitch"
    TicketLine.objects.filter(pk=kept.pk).update(content={"operation": "crown"})
    assert TicketLine.objects.get(pk=kept.pk).operation == "crown"


def test_summing_up_the_bench_reads_no_papers_because_they_are_long() -> None:
    line({"operation": "pitch"})
    estimates = Estimates()
    with CaptureQueriesContext(
        connection,
    ) as asked:
        assert loads(in_work(), estimates)
    assert asked.captured_queries
    assert not [q["sql"] for q in asked.captured_queries if '"content"' in q["sql"]]
