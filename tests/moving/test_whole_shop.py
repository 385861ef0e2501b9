"""The whole shop out as one file and into an empty place: equal field by field, or nothing."""

import datetime as dt
import json
import os
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command
from django.db import connection, transaction

from fittings.models import Customer, Findable, Photograph
from fittings.photographs.keeping import load
from fittings.refusals import Refused
from tailorshop.models import User
from tailorshop.moving.coming_in import come_in
from tailorshop.moving.going_out import go_out
from tailorshop.moving.whole import models_that_go
from tests.demo import open_demo
from tests.factories import CustomerFactory

pytestmark = pytest.mark.django_db(transaction=True)
AT = dt.datetime(2026, 5, 4, 9, 0, tzinfo=dt.UTC)
# Said here once more, apart from the code: what may differ after the journey.
NOT_CARRIED = {"password", "quick_code", "last_login"}

Told = dict[str, list[dict[str, Any]]]


@pytest.fixture(autouse=True)
def _list_of_its_own(settings: Any, tmp_path: Path) -> Iterator[None]:
    settings.ERASURE_LIST = tmp_path / "erased.jsonl"
    yield
    emptied()


def told() -> Told:
    """Every row of every model, keys too, straight from the tables."""
    return {
        model.__name__: [
            {k: v for k, v in row.items() if model is not User or k not in NOT_CARRIED}
            for row in model._base_manager.order_by("pk").values()
        ]
        for model in models_that_go()
    }


def emptied() -> None:
    """Every row taken out past all guards, and every file."""
    with transaction.atomic():  # keys are looked at when it ends
        for model in [*models_that_go(), Findable]:
            model._base_manager.all()._raw_delete(model._base_manager.db)
    for name in files():
        default_storage.delete(name)


def files(folder: str = "") -> list[str]:
    folders, names = default_storage.listdir(folder)
    found = [f"{folder}{name}" for name in names]
    return sorted(found + [one for inner in folders for one in files(f"{folder}{inner}/")])


def changed(path: Path, name: str, data: bytes | None) -> Path:
    """The same file with another content of one member, or without it."""
    other = path.with_name("changed.zip")
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(other, "w") as new:
        for member in old.namelist():
            if member != name:
                new.writestr(member, old.read(member))
            elif data is not None:
                new.writestr(member, data)
    return other


@pytest.fixture
def small(tmp_path: Path) -> Path:
    CustomerFactory.create_batch(3)
    path = tmp_path / "shop.zip"
    go_out(path, at=AT)
    emptied()
    return path


def test_a_place_that_is_not_empty_takes_nothing_and_says_what_to_do(small: Path) -> None:
    there = CustomerFactory()
    with pytest.raises(Refused, match=r"run manage\.py migrate there, then this again"):
        come_in(small)
    assert Customer.objects.get() == there


def test_the_demo_shop_comes_back_equal_in_every_field_and_file(tmp_path: Path) -> None:
    open_demo()
    before, kept = told(), {name: default_storage.open(name).read() for name in files()}
    assert all(before[name] for name in ("Customer", "Ticket", "PatternVersion", "Photograph"))
    path = tmp_path / "shop.zip"
    manifest = go_out(path, at=AT)
    assert manifest.rows["fittings.customer"] == len(before["Customer"])
    check_as_the_schema_says(path)
    emptied()
    assert not any(told().values())
    come_in(path)
    now = told()
    for name, rows in before.items():
        assert now[name] == rows, name
    assert {name: default_storage.open(name).read() for name in files()} == kept
    assert not any(user.has_usable_password() for user in User.objects.all())
    # Keys and numbers go on after those that came.
    new = CustomerFactory()
    assert new.pk > max(row["id"] for row in before["Customer"])
    assert new.number not in {row["number"] for row in before["Customer"]}


def check_as_the_schema_says(path: Path) -> None:
    """Each line is what the schema in the file says; nothing to sign in with is in it."""
    with zipfile.ZipFile(path) as file:
        schema = json.loads(file.read("schema.json"))
        jsonschema.Draft202012Validator.check_schema(schema)
        for kind, one in schema["$defs"].items():
            for line in file.read(f"rows/{kind}.jsonl").splitlines()[:20]:
                jsonschema.validate(json.loads(line), one)
        people = file.read("rows/tailorshop.user.jsonl").splitlines()
        assert not any(NOT_CARRIED & set(json.loads(line)) for line in people)


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"not a zip at all" * 99])
def test_what_is_no_file_of_a_shop_is_refused_in_a_sentence(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "other.zip"
    path.write_bytes(data)
    with pytest.raises(CommandError, match="no file of a whole shop"):
        call_command("import_shop", str(path))


def test_a_file_cut_short_or_damaged_is_refused_before_anything_is_touched(small: Path) -> None:
    whole = small.read_bytes()
    kind = "rows/fittings.customer.jsonl"
    with zipfile.ZipFile(small) as file:
        place = file.getinfo(kind).header_offset + 120
    damaged = bytearray(whole)
    damaged[place] ^= 0xFF
    for data in (whole[: len(whole) // 2], bytes(damaged)):
        small.write_bytes(data)
        with pytest.raises(Refused):
            come_in(small)
    small.write_bytes(whole)
    with pytest.raises(Refused, match="is damaged"):
        come_in(changed(small, kind, b'{"id": 1}\n'))
    with pytest.raises(Refused, match="other members than it lists"):
        come_in(changed(small, kind, None))
    assert not Customer.objects.exists()


@pytest.mark.parametrize("newer", ["version", "field", "kind"])
def test_a_file_of_a_newer_program_is_refused(small: Path, newer: str) -> None:
    from hashlib import sha256

    with zipfile.ZipFile(small) as file:
        said = json.loads(file.read("manifest.json"))
    if newer == "version":
        said["version"] = 2
    elif newer == "field":
        said["fields"]["fittings.customer"].append("shoe_size")
    else:
        said["fields"]["fittings.hat"] = ["id"]
    data = json.dumps(said).encode()
    path = changed(small, "manifest.json", data)
    path = changed(path.rename(small), "manifest.sha256", sha256(data).hexdigest().encode())
    with pytest.raises(Refused, match=r"^The file (is of form 2|says something that is not known)"):
        come_in(path)
    assert not Customer.objects.exists()


def test_a_row_that_cannot_be_kept_undoes_all_with_its_files(tmp_path: Path) -> None:
    CustomerFactory()
    Customer.objects.update(email="no address")
    default_storage.save("photographs/aa/one.jpg", ContentFile(b"a picture"))
    path = tmp_path / "shop.zip"
    go_out(path, at=AT)
    emptied()
    with pytest.raises(Refused, match="cannot be kept"):
        come_in(path)
    assert not any(told().values())
    assert files() == []


def test_one_that_was_stopped_in_the_middle_goes_on_and_no_other_file_is_taken_for_ours(
    tmp_path: Path,
) -> None:
    CustomerFactory()
    name = default_storage.save("photographs/aa/one.jpg", ContentFile(b"a picture"))
    path = tmp_path / "shop.zip"
    go_out(path, at=AT)
    emptied()
    default_storage.save(name, ContentFile(b"another picture"))
    with pytest.raises(Refused, match="is another file"):
        come_in(path)
    assert not Customer.objects.exists()
    assert default_storage.open(name).read() == b"another picture"
    default_storage.delete(name)
    default_storage.save(name, ContentFile(b"a picture"))
    come_in(path)
    assert files() == [name]
    assert Customer.objects.count() == 1


def test_one_stopped_before_its_very_end_has_brought_nothing_in(
    small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Else whoever was erased here would be back, and running it again refused."""
    with monkeypatch.context() as stopped:
        stopped.setattr("tailorshop.moving.coming_in.erase_again", lambda: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            come_in(small)
    assert not Customer.objects.exists()
    assert not Findable.objects.exists()
    come_in(small)
    assert Customer.objects.count() == Findable.objects.count() == 3


def test_nothing_is_written_over(small: Path) -> None:
    with pytest.raises(CommandError, match="is there already"):
        call_command("export_shop", str(small))


def test_whoever_was_erased_here_is_erased_again_when_the_shop_comes_in(small: Path) -> None:
    with zipfile.ZipFile(small) as file:
        line = json.loads(file.read("rows/fittings.customer.jsonl").splitlines()[0])
    gone = {"customer": line["id"], "number": line["number"], "on": "2026-03-02"}
    Path(settings.ERASURE_LIST).write_text(json.dumps(gone) + "\n")
    come_in(small)
    assert Customer.objects.present().count() == 2


def _plain(name: str, data: bytes) -> Any:
    return [json.loads(line) for line in data.splitlines()] if "rows/" in name else data


FROM_SQLITE = pytest.mark.skipif(
    connection.vendor != "postgresql", reason="needs the other engine beside this one"
)


@FROM_SQLITE
def test_a_shop_grows_from_sqlite_to_postgresql(tmp_path: Path) -> None:
    """The demo shop made on SQLite, brought into PostgreSQL, told there as it was told here."""
    env = {
        **os.environ,
        "TAILORSHOP_VAR": str(tmp_path),
        "TAILORSHOP_DEBUG": "1",
        "DATABASE_URL": f"sqlite:///{tmp_path}/s.sqlite3",
    }

    def manage(*what: str) -> None:
        subprocess.run(
            [sys.executable, "manage.py", *what], cwd=settings.BASE_DIR, env=env, check=True
        )

    manage("migrate", "-v0")
    manage("demo")
    manage("export_shop", str(tmp_path / "small.zip"))
    come_in(tmp_path / "small.zip")
    go_out(tmp_path / "grown.zip", at=AT)
    with (
        zipfile.ZipFile(tmp_path / "small.zip") as small,
        zipfile.ZipFile(tmp_path / "grown.zip") as grown,
    ):
        names = {n for n in small.namelist() if not n.startswith("manifest")}
        assert names == {n for n in grown.namelist() if not n.startswith("manifest")}
        for name in names:
            # PostgreSQL keeps the keys within data in an order of its own.
            told_in = [_plain(name, file.read(name)) for file in (small, grown)]
            assert told_in[0] == told_in[1], name
    assert Photograph.objects.exists()
    assert all(load(one.sha256) for one in Photograph.objects.all())
