"""What goes with the whole shop, and how the file that holds it says so."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import asdict, dataclass
from typing import Any, Final

from fittings.belonging import AnyModel, history_of, shop_models
from fittings.carrying.describing import row_schema
from fittings.carrying.rows import AnyField, kind_of, own_fields
from fittings.models import AtWork, CalendarFeed, Errand, Findable
from fittings.refusals import Refused
from tailorshop.keeping.manifest import Kept
from tailorshop.models import SentOnce, User

FORM: Final = "whole shop"
VERSION: Final = 1
MANIFEST: Final = "manifest.json"
MANIFEST_DIGEST: Final = "manifest.sha256"
SCHEMA: Final = "schema.json"
ROWS: Final = "rows/"
FILES: Final = "files/"
# Made anew there: the letters of the search, forms of a quarter of an hour ago, secret addresses,
# what somebody waits for.
STAYS_HERE: Final[frozenset[AnyModel]] = frozenset(
    {Findable, SentOnce, CalendarFeed, Errand, AtWork}
)
# Nothing to sign in with leaves the shop: each account gets a new password there.
LEFT_OUT: Final[dict[AnyModel, frozenset[str]]] = {
    User: frozenset({"password", "quick_code", "last_login"})
}
# Storage folders with work of an hour, not with the record.
FOLDERS_LEFT: Final = ("handed-in/", "errands/")
NOT_OURS: Final = "This is no file of a whole shop: choose one that export_shop wrote."


def models_that_go() -> list[AnyModel]:
    """Every model with its history behind it."""
    kept = [model for model in shop_models() if model not in STAYS_HERE]
    histories = (history_of(model) for model in kept)
    return [*kept, *(history for history in histories if history is not None)]


def fields_that_go(model: AnyModel) -> list[AnyField]:
    left = LEFT_OUT.get(model, frozenset())
    return [field for field in own_fields(model) if field.name not in left]


def member_of(model: AnyModel) -> str:
    return f"{ROWS}{kind_of(model)}.jsonl"


def schema() -> dict[str, Any]:
    """For each kind of row the JSON Schema of one line of its file."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "The rows of a whole shop",
        "description": "Lengths in mm, angles in degrees, times in ISO 8601. A row names another "
        "row by its key in the same file.",
        "$defs": {
            kind_of(model): row_schema(model, fields_that_go(model)) for model in models_that_go()
        },
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifest:
    """`rows`: how many of each kind; `fields`: what is said of each; `files`: every member."""

    made_at: dt.datetime
    shop: str
    program: str
    rows: dict[str, int]
    fields: dict[str, list[str]]
    files: dict[str, Kept]

    def written(self) -> bytes:
        said = {"form": FORM, "version": VERSION} | asdict(self)
        said["made_at"] = self.made_at.isoformat()
        return json.dumps(said, indent=1, sort_keys=True).encode()


def read_manifest(data: bytes) -> Manifest:
    """Refuses (Refused) what is none of ours and what a newer program wrote."""
    try:
        said: dict[str, Any] = json.loads(data)
        if said.pop("form") != FORM:
            raise Refused(NOT_OURS)
        version = int(said.pop("version"))
        if version > VERSION:
            raise Refused(
                f"The file is of form {version} and at most form {VERSION} is known here: bring "
                "this program up to date first."
            )
        said["made_at"] = dt.datetime.fromisoformat(said["made_at"])
        said["files"] = {name: Kept(**kept) for name, kept in said["files"].items()}
        found = Manifest(**said)
    except (ValueError, KeyError, TypeError, AttributeError):
        raise Refused(NOT_OURS) from None
    _check_known(found)
    return found


def _check_known(manifest: Manifest) -> None:
    known = {kind_of(m): {field.name for field in fields_that_go(m)} for m in models_that_go()}
    for kind, fields in manifest.fields.items():
        unknown = set(fields) - known.get(kind, set())
        if kind not in known or unknown:
            what = f"{kind} ({', '.join(sorted(unknown))})" if kind in known else kind
            raise Refused(
                f"The file says something that is not known here: {what[:120]}. It was written by "
                f"a newer program ({manifest.program[:20]}): bring this one up to date first."
            )
