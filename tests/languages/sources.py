"""Sentences of the rules as their sources have them: refusals, failing checks, questions.

Read from the syntax tree, so that a sentence written tomorrow is asked about tomorrow. What stands
in a hole of a sentence is an amount, or one of the words named in `WORDS`.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import pairwise, product
from pathlib import Path
from typing import Final

from patterns.geometry.armhole import Quarter
from patterns.geometry.walking_head import _LONGER, NOTCHES
from patterns.rules.case import FindingSeen, InlayPlace, Stage
from patterns.rules.catalogue import SLEEVE_FINDINGS
from patterns.rules.coat_findings import COAT_FINDINGS
from patterns.rules.garment import Seen, propose_on_garment
from patterns.rules.garment_catalogue import GARMENT_FINDINGS
from patterns.rules.propose import propose
from patterns.rules.remedies import REMEDIES
from tests.rules.cases import case

PATTERNS: Final = Path(__file__).parents[2] / "patterns"
# What is refused here is said on screens before there is a ticket: first drafts, photographs,
# views, lays of two versions, and documents from elsewhere.
NEVER_ON_A_TICKET: Final = {
    "geometry": "alignment choices cloth_scale flatten head_ease making noise overlay scye_draft "
    "touches visibility",
    "rules": "document outline overlaid pieces solution solve targets trial",
}
SEAMS: Final = ("hindarm", "forearm")
LEVELS: Final = ("head", "elbow", "cuff")
# Left alone, or no number at all, which no form takes: neither comes as far as a ticket.
NEVER_SAID: Final = re.compile(r"left alone|is not a number to work with|lies between 0 and 1")
QUARTERS: Final = tuple(str(quarter) for quarter in Quarter)
# Findings of a sleeve that ask even by themselves.
ASKING: Final = tuple(row.id for row in SLEEVE_FINDINGS if row.id not in REMEDIES)
INSTEAD: Final = tuple(f"to leave the {what} as it is, refuse it" for what in ("head", "forearm"))
SHOWN: Final = ("shows by 8 mm", "is hidden by 8 mm", "lies on the edge")
WORDS: Final[Mapping[str, tuple[str, ...]]] = {
    "seam": SEAMS,
    "level": LEVELS,
    "name": ("biceps line", "elbow", "cuff"),
    "end": ("head", "cuff"),
    "part": ("from head to elbow notch", "from elbow notch to cuff"),
    "piece": ("under",),
    "piece.name": ("top sleeve", "under sleeve"),
    "declared": ("8 mm of ease", "no ease"),
    "way": ("Shorten", "Lengthen"),
    "_toward(part, off_mm)": ("up", "down"),
    "shape": ("a point", "a dent"),
    "act": ("Round it off", "Fill it up"),
    "has": ("only 8 mm of ease", "8 mm too little cloth"),
    "'; '.join(missing)": ("; ".join(NOTCHES),),
    "own": QUARTERS,
    "found": QUARTERS,
    "self.back_quarter": QUARTERS,
    "self.front_quarter": QUARTERS,
    "place": tuple(place.words for place in InlayPlace),
    "instead": ("a hollow cannot be given back", *INSTEAD),
    "said": ("the folds clear neither way",),
    "places": ("front", "back", "front and back"),
    "why": (
        "Some say cuff forward and some cuff back",
        "The arm-swing test says it is not the pitch",
        "The amounts differ by more than their noise",
    ),
    "_shown(shows.by_mm)": SHOWN,
    "_shown(shows.want_mm)": SHOWN,
    "names": ("crown too high; crown too low",),
    "looks": (SLEEVE_FINDINGS[2].seen,),
    "seen.row.name.capitalize()": ("Elbow points in", "Elbow points out too far"),
    "row.name": (COAT_FINDINGS[0].name,),
    "row.question": (COAT_FINDINGS[3].question,),
    "other": (COAT_FINDINGS[1].name,),
    "_LONGER[part]": tuple(_LONGER.values()),
}
_MEASURED: Final = re.compile(r"""checked_(?:positive|girth)\([^"]+(f?)"([^"]+)"\)""")


def sources() -> Iterator[tuple[str, str]]:
    """Module and text of every source of sentences that a ticket may quote."""
    for folder, left_out in NEVER_ON_A_TICKET.items():
        for file in sorted((PATTERNS / folder).glob("*.py")):
            if file.stem not in left_out.split():
                yield file.stem, file.read_text(encoding="utf-8")


def measured() -> tuple[str, ...]:
    """How the measures are called that must be more than nothing."""
    names = (found[2] for _, text in sources() for found in _MEASURED.finditer(text))
    return tuple(dict.fromkeys(one.replace("{level}", at) for one in names for at in LEVELS))


def sentences_of_sources() -> Iterator[str]:
    """Every refusal, every check told where it fails, every question, with words in its holes."""
    for module, text in sources():
        for node in _said(ast.parse(text)):
            for sentence in _spelled(node, f"{module}: {ast.unparse(node)}"):
                if not NEVER_SAID.search(sentence):
                    yield sentence


def _said(tree: ast.AST) -> Iterator[ast.expr]:
    """A refusal's words; `text` of a question; `sentence` of a check, where it is not the first."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call) and node.exc.args:
            yield node.exc.args[-1]
        elif isinstance(node, ast.If):
            for done in (*node.body, *node.orelse):
                if isinstance(done, ast.Assign) and ast.unparse(done.targets[0]) == "sentence":
                    yield done.value
        elif isinstance(node, ast.Call) and ast.unparse(node.func) in ("Question", "_ask_length"):
            yield from (one.value for one in node.keywords if one.arg == "text")
            yield from (one for one in node.args[:1] if not isinstance(one, ast.Call))
        elif isinstance(node, ast.Call) and ast.unparse(node.func) == "Check":
            told = (one.value for one in node.keywords if one.arg == "sentence")
            yield from (one for one in told if isinstance(one, ast.JoinedStr))


def _spelled(node: ast.expr, where: str) -> Iterator[str]:
    """All that a string of the source can say; KeyError for a hole nobody named the words of."""
    if isinstance(node, ast.Constant):
        yield str(node.value)
    elif isinstance(node, ast.IfExp):
        yield from (*_spelled(node.body, where), *_spelled(node.orelse, where))
    elif isinstance(node, ast.JoinedStr):
        for parts in product(*(tuple(_spelled(part, where)) for part in node.values)):
            yield "".join(parts)
    elif isinstance(node, ast.FormattedValue):
        yield from _in_hole(node, where)


def _in_hole(hole: ast.FormattedValue, where: str) -> Iterator[str]:
    source = ast.unparse(hole.value)
    if hole.format_spec is not None:
        asked = ast.unparse(hole.format_spec)
        yield ("+" if "+" in asked else "") + "12" + ("%" if "%" in asked else "")
    elif source.startswith(("mm(", "words.mm(")):
        yield "8 mm"
    elif source.startswith("words.deg("):
        yield "8°"
    elif isinstance(hole.value, ast.IfExp):
        yield from _spelled(hole.value, where)
    elif source == "what":
        yield from measured()
    else:
        assert source in WORDS, f"{where}: say in WORDS what can stand in {{{source}}}"
        yield from WORDS[source]


def sentences_of_findings() -> Iterator[str]:
    """What is asked of every row of both catalogues: which, how much, and whether both can be."""
    for row in GARMENT_FINDINGS.values():
        seen = Seen(id="f", row=replace(row, usual_mm=None))
        other = Seen(id="g", row=GARMENT_FINDINGS[row.opposite]) if row.opposite else seen
        how_much = replace(seen, answer=row.remedies[0].id)
        for logged in ([seen], [how_much], [seen, other]):
            asked = propose_on_garment(logged, side="left", stage=Stage.BASTE).questions
            yield from (question.text for _, question in asked)
    for finding, opposite in pairwise(
        (*sorted(REMEDIES, key=lambda id_: REMEDIES[id_][0]), *ASKING)
    ):
        both = (FindingSeen(id=one, finding=one) for one in (finding, opposite))
        yield from (question.text for question in propose(case(*both)).questions)
