"""Minutes of an alteration: the table, and what was recorded weighed in."""

import numpy as np
import pytest
from django.urls import reverse
from django.utils import timezone

from fittings.bench import ticks
from fittings.bench.minutes import GUESS, NAMES, OF_GARMENT, Estimate, Estimates, kind_of, said
from fittings.bench.worklist import in_work, loads, on_bench, with_lines
from fittings.models import OperationTime, Ticket, TicketLine
from fittings.refusals import Refused
from fittings.ticketing.issuing import reissue
from patterns.rules.checks import CHECK_IDS, SLEEVES
from patterns.rules.garment_catalogue import GARMENT_FINDINGS
from tailorshop.models import Role, User
from tests.conftest import Signed
from tests.factories import TicketFactory, UserFactory

pytestmark = pytest.mark.django_db


def done(ticket: Ticket, maker: User, minutes: int) -> None:
    line = ticket.lines.get()
    ticks.mark_done(line, by=maker, at=timezone.now())
    ticks.note_minutes(line, minutes, by=maker)


def pitch() -> Estimate:
    return next(row for row in Estimates().rows if row.operation == "pitch")


def test_nothing_recorded_leaves_the_table_as_it_stands() -> None:
    assert pitch().is_guess
    assert pitch().minutes == pitch().table_minutes
    OperationTime.objects.create(operation="pitch", minutes=55)
    assert (pitch().is_guess, pitch().minutes) == (False, 55)


def test_recorded_times_are_weighed_against_the_table_that_counts_as_three(
    ticket: Ticket, maker: User
) -> None:
    """By hand: table 60 three times and 100 once is (180 + 100) / 4 = 70."""
    OperationTime.objects.create(operation="pitch", minutes=60)
    done(ticket, maker, 100)
    assert (pitch().recorded, pitch().recorded_minutes, pitch().minutes) == (1, 100, 70)


def test_a_reissued_line_counts_once(ticket: Ticket, maker: User) -> None:
    done(ticket, maker, 100)
    reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="smudged")
    assert (pitch().recorded, pitch().recorded_minutes) == (1, 100)


def test_what_was_recorded_is_the_mean_of_the_lines_in_force_as_numpy_has_it() -> None:
    """Counts and means against numpy over the same lines, those of superseded papers left out."""
    lot = np.random.default_rng(7).integers(1, 600, size=40)
    in_force: dict[str, list[int]] = {"pitch": [], "garment:seat": [], "garment": []}
    paper: Ticket = TicketFactory()
    for nth, minutes in enumerate(map(int, lot)):
        kind = ("pitch", "garment:seat", "garment:pleats")[nth % 3]
        operation, _, check = kind.partition(":")
        if nth % 10 == 0:
            # The third paper supersedes the second.
            older = paper if nth == 20 else None
            paper = TicketFactory(fitting=paper.fitting, supersedes=older)
        TicketLine.objects.create(
            ticket=paper,
            position=nth + 1,
            content={"operation": operation, "check": check} if check else {"operation": operation},
            minutes=minutes if nth % 7 else None,
        )
        if nth % 7 and not 10 <= nth < 20:
            in_force["garment" if check == "pleats" else kind].append(minutes)
    rows = {row.operation: row for row in Estimates().rows if row.recorded}
    assert {kind: row.recorded for kind, row in rows.items()} == {
        kind: len(times) for kind, times in in_force.items()
    }
    for kind, times in in_force.items():
        assert rows[kind].recorded_minutes == pytest.approx(np.mean(times), rel=1e-12)


def test_minutes_go_with_the_tick_that_is_taken_back(ticket: Ticket, maker: User) -> None:
    done(ticket, maker, 45)
    ticks.take_back_done(ticket.lines.get(), by=maker)
    assert ticket.lines.get().minutes is None


@pytest.mark.parametrize("minutes", [0, 601])
def test_minutes_that_cannot_be_meant_are_refused(
    ticket: Ticket, maker: User, minutes: int
) -> None:
    with pytest.raises(Refused, match="1 to 600"):
        done(ticket, maker, minutes)


def test_nobody_says_how_long_the_work_of_another_took(ticket: Ticket, maker: User) -> None:
    ticks.mark_done(ticket.lines.get(), by=maker, at=timezone.now())
    with pytest.raises(Refused, match="Somebody else"):
        ticks.note_minutes(ticket.lines.get(), 45, by=UserFactory(role=Role.WORKROOM))


def test_one_tap_keeps_a_preset_and_another_time_is_typed(workroom: Signed, ticket: Ticket) -> None:
    at = reverse("ticket-line", args=[ticket.number, 1, 1])
    workroom[0].post(at, {"tick": "done"})
    workroom[0].post(at, {"tick": "minutes", "preset": "30", "minutes": ""})
    assert ticket.lines.get().minutes == 30
    workroom[0].post(at, {"tick": "minutes", "minutes": "37"})
    assert ticket.lines.get().minutes == 37
    for typed in ("", "half an hour", "-5", "³"):
        assert workroom[0].post(at, {"tick": "minutes", "minutes": typed}).status_code == 422


@pytest.mark.parametrize(
    ("minutes", "words"), [(0, "0 min"), (45, "45 min"), (120, "2 h"), (135, "2 h 15 min")]
)
def test_minutes_are_said_in_hours_when_there_are_any(minutes: int, words: str) -> None:
    assert said(minutes) == words


def table(**minutes: str) -> dict[str, str]:
    """What the page posts when the other rows are left alone."""
    rows = Estimates().rows
    kept = {row.operation: row.version for row in OperationTime.objects.all()}
    posted = {row.operation: str(row.table_minutes) for row in rows}
    posted |= {f"{row.operation}_seen": str(kept.get(row.operation, 0)) for row in rows}
    return posted | minutes


def test_owner_writes_minutes_and_rows_left_alone_stay_guesses(owner: Signed) -> None:
    assert owner[0].post(reverse("times"), table(pitch="55")).status_code == 302
    assert list(OperationTime.objects.values_list("operation", "minutes")) == [("pitch", 55)]
    page = owner[0].get(reverse("times")).content.decode()
    assert "written here" in page
    assert "trade guess, no source" in page


def test_an_emptied_row_is_a_guess_again(owner: Signed) -> None:
    owner[0].post(reverse("times"), table(pitch="55"))
    owner[0].post(reverse("times"), table(pitch=""))
    assert not OperationTime.objects.exists()


def test_minutes_out_of_reach_answer_422_and_keep_what_was_typed(owner: Signed) -> None:
    answer = owner[0].post(reverse("times"), table(pitch="5000"))
    assert answer.status_code == 422
    assert 'value="5000"' in answer.content.decode()


def test_who_saw_an_older_figure_does_not_save_over_a_newer_one(owner: Signed) -> None:
    owner[0].post(reverse("times"), table(pitch="55"))
    seen = table(pitch="70")
    owner[0].post(reverse("times"), table(pitch="60"))
    answer = owner[0].post(reverse("times"), seen)
    assert answer.status_code == 409
    assert OperationTime.objects.get().minutes == 60


def test_every_kind_of_work_has_its_row_and_its_words() -> None:
    checks = CHECK_IDS - {SLEEVES}
    assert set(GUESS) == set(NAMES)
    assert {kind for kind in GUESS if kind.startswith(OF_GARMENT)} == {
        f"{OF_GARMENT}{check}" for check in checks
    }
    assert {row.check for row in GARMENT_FINDINGS.values()} <= checks


@pytest.mark.parametrize(
    ("operation", "check", "kind"),
    [
        ("pitch", None, "pitch"),
        ("garment", "seat", "garment:seat"),
        ("garment", "pleats", "garment"),
        ("garment", None, "garment"),
        (None, None, ""),
    ],
)
def test_a_line_is_reckoned_by_operation_and_on_the_garment_by_its_check(
    operation: str | None, check: str | None, kind: str
) -> None:
    assert kind_of(operation, check) == kind


def test_work_on_the_garment_is_reckoned_and_recorded_by_where_it_is(maker: User) -> None:
    """By hand: seat 20 and waist of a coat 70 wait for 90 minutes; (3 * 20 + 60) / 4 = 30."""
    OperationTime.objects.create(operation="garment:seat", minutes=20)
    OperationTime.objects.create(operation="garment:waist", minutes=70)
    paper: Ticket = TicketFactory()
    for position, check in enumerate(("seat", "waist"), start=1):
        content = {"operation": "garment", "check": check, "side": "", "title": "Let out, 8 mm"}
        TicketLine.objects.create(ticket=paper, position=position, content=content)
    rows = with_lines(Ticket.objects.filter(pk=paper.pk))
    (listed,) = on_bench(rows, Estimates(), {}, timezone.localdate())
    assert listed.minutes == 90
    assert [load.minutes for load in loads(in_work(), Estimates())] == [90]
    paper.lines.filter(position=1).update(done_at=timezone.now(), done_by=maker, minutes=60)
    seat = next(row for row in Estimates().rows if row.operation == "garment:seat")
    assert (seat.recorded, seat.minutes) == (1, 30)
    assert [load.minutes for load in loads(in_work(), Estimates())] == [70]


def test_owner_finds_sleeves_and_the_garment_itself_apart(owner: Signed) -> None:
    page = owner[0].get(reverse("times")).content.decode()
    sleeves, _, garment = page.partition("The garment itself")
    assert "Raise or lower the crown" in sleeves
    assert "Alter the seat of trousers" in garment
    assert owner[0].post(reverse("times"), table(**{"garment:seat": "33"})).status_code == 302
    assert OperationTime.objects.get().operation == "garment:seat"
