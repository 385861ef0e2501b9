"""What is answered to findings of a garment, against the trade's printed remedies and habits.

Sources of the remedies: The Modern Tailor, Outfitter and Clothier, 4th edition, 1949 (alterations);
Hertzer, 1892. Amounts in mm are trade practice, no source, but for Hertzer's swing of the leg.
"""

import pytest

from patterns.rules.case import Stage
from patterns.rules.checks import CHECK_IDS, ORDERS, not_to_be_trusted
from patterns.rules.garment import GarmentAnswers, Seen, propose_on_garment
from patterns.rules.garment_catalogue import BOOK, GARMENT_FINDINGS
from patterns.rules.garment_correction import GarmentCorrection
from patterns.rules.garment_finding import GarmentFinding

ROWS = list(GARMENT_FINDINGS.values())


def answers(*seen: tuple[str, str, float | None], stage: Stage = Stage.BASTE) -> GarmentAnswers:
    logged = [
        Seen(id=str(n), row=GARMENT_FINDINGS[id_], answer=answer, amount_mm=mm)
        for n, (id_, answer, mm) in enumerate(seen)
    ]
    return propose_on_garment(logged, side="left", stage=stage)


def only(found: GarmentAnswers) -> GarmentCorrection:
    assert found.questions == ()
    return found.corrections[0]


def test_nothing_seen_proposes_nothing() -> None:
    assert answers() == GarmentAnswers()


def test_amount_below_the_making_tolerance_is_left_alone() -> None:
    found = answers(("waist_tight", "", 2.0))
    assert (found.corrections, found.questions) == ((), ())
    assert "2 mm is less than the making tolerance" in found.left_alone[0].text


@pytest.mark.parametrize(
    ("finding", "piece", "edge", "words", "least", "most"),
    [
        # trade practice, no source
        ("front_balance_short", "forepart", "shoulder seam", "hangs lower", 6, 13),
        ("back_short", "back", "side seam", "pass the back up", 6, 13),
        ("chest_tight", "forepart", "side seam at the chest", "twice so much in all", 6, 6),
        ("back_tight", "back", "armhole edge", "wider", 6, 6),
        ("waist_tight", "forepart and back", "side seam at the waist", "let the seam out", 6, 10),
        ("hips_tight", "forepart and back", "below the waist", "let the seam out", 6, 13),
        ("waistcoat_rides", "waistcoat", "hem", "longer", 10, 20),
        # The Modern Tailor, 1949
        ("collar_stands_away", "back", "side seam", "pass the back up", 6, 10),
        ("trousers_cloth_in_lap", "back of the trousers", "fork", "let the fork out", 6, 15),
        ("trousers_leg_open", "trousers", "leg seam at the bottom", "let the seam out", 6, 10),
    ],
)
def test_finding_is_answered_by_the_trades_remedy(
    finding: str, piece: str, edge: str, words: str, least: float, most: float
) -> None:
    found = only(answers((finding, "", None)))
    move = found.report()["moves"][0]
    assert move["piece"] == piece
    assert edge in move["edge"]
    assert words in f"{move['direction']} {move['acts']}"
    assert least <= found.shift_mm <= most


def test_collar_that_stands_away_also_takes_off_the_shoulder_ends() -> None:
    """The Modern Tailor, 1949: pass the backs up; the shoulder end to nothing at the neck."""
    moves = only(answers(("collar_stands_away", "", None))).report()["moves"]
    assert "to nothing at the neck" in moves[1]["direction"]


def test_leg_is_swung_by_the_printed_amount_and_only_when_asked_which_way() -> None:
    """Hertzer, 1892: 5/8 in at the bottom, about 1/2 in at the knee: four fifths of it."""
    asked = answers(("trousers_leg_slope", "", None))
    assert asked.corrections == ()
    assert "when does the fold clear" in asked.questions[0][1].text
    found = only(answers(("trousers_leg_slope", "inward", None)))
    assert found.shift_mm == pytest.approx(5 / 8 * 25.4, abs=0.05)
    assert found.shift_mm * 4 / 5 == pytest.approx(25.4 / 2, abs=0.05)


@pytest.mark.parametrize("row", [row for row in ROWS if len(row.remedies) > 1], ids=lambda r: r.id)
def test_finding_with_several_causes_asks_and_each_answer_leads_to_its_own_work(
    row: GarmentFinding,
) -> None:
    found = answers((row.id, "", None))
    assert found.corrections == ()
    assert found.questions[0][1].answers == tuple(one.answer for one in row.remedies)
    worked = {only(answers((row.id, one.id, None))).title for one in row.remedies}
    assert len(worked) == len(row.remedies)


def test_length_is_asked_for_because_no_usual_amount_can_stand_for_it() -> None:
    assert "by how much?" in answers(("coat_long", "", None)).questions[0][1].text
    assert only(answers(("coat_long", "", 15.0))).shift_mm == 15.0


def test_newest_answer_and_amount_count_because_the_fitter_looked_again() -> None:
    found = only(
        answers(
            ("dropped_shoulder", "lower", None),
            ("dropped_shoulder", "pad", None),
            ("dropped_shoulder", "", 10.0),
        )
    )
    assert (found.remedy.id, found.shift_mm) == ("pad", 10.0)
    assert found.sources == ("0", "1", "2")


def test_opposite_findings_are_asked_about_because_both_cannot_be() -> None:
    found = answers(("front_balance_short", "", None), ("back_short", "", None))
    assert found.corrections == ()
    assert all("Both cannot be" in question.text for _, question in found.questions)


def test_work_past_its_stage_is_told_and_not_forbidden() -> None:
    assert not any("no longer" in limit for limit in only(answers(("back_short", "", None))).limits)
    late = only(answers(("back_short", "", None), stage=Stage.FINISH))
    assert any("no longer changed after the baste fitting" in limit for limit in late.limits)


def test_inlay_that_is_needed_is_named_with_its_place() -> None:
    told = only(answers(("hips_tight", "", 12.0))).limits[0]
    assert "Needs 12 mm of inlay, side" in told


@pytest.mark.parametrize("garment", BOOK)
def test_every_row_belongs_to_a_check_of_its_garment_and_says_where_and_which_way(
    garment: str,
) -> None:
    order = {check.id for check in ORDERS[garment]}
    for row in BOOK[garment]:
        assert row.check in order, row.id
        assert not row.opposite or row.id == GARMENT_FINDINGS[row.opposite].opposite, row.id
        for remedy in row.remedies:
            for edge in remedy.edges:
                assert all((edge.piece, edge.edge, edge.acts, edge.measured_from)), row.id
                assert len(edge.direction.split()) > 3, row.id
                assert not {"clockwise", "rotate"} & set(edge.direction.split()), row.id


def test_row_is_read_as_it_was_written() -> None:
    for row in ROWS:
        assert GarmentFinding.read(row.written()) == row


def test_first_check_is_always_to_be_trusted() -> None:
    for garment, order in ORDERS.items():
        assert not_to_be_trusted(garment, order[0].id, set()) == ""


def test_later_check_is_not_to_be_trusted_while_an_earlier_one_is_open() -> None:
    told = not_to_be_trusted("coat", "collar", {"shoulders"})
    assert told.startswith("Not to be trusted yet: 1 Balance is not settled")
    assert not_to_be_trusted("coat", "collar", {"balance", "shoulders"}) == ""
    assert "sleeves" in CHECK_IDS
