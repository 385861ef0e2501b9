"""An archive that is damaged, cut short, newer or of something else is refused with a reason."""

import datetime as dt
import errno
import io
import json
import os
import shutil
import sqlite3
import subprocess
import tarfile
from contextlib import closing, suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

import pyrage
import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.test import override_settings

from tailorshop.keeping.archive import back_up
from tailorshop.keeping.files import PART, WholeFileStorage, given_free_name, written_whole
from tailorshop.keeping.manifest import (
    MANIFEST,
    MANIFEST_DIGEST,
    SQLITE_FILE,
    BadArchive,
    Manifest,
    check_not_newer,
)
from tailorshop.keeping.pruning import clear_left_over, kept, prune
from tailorshop.keeping.restoring import InUse, restore
from tailorshop.keeping.sealing import read_identities, read_recipient
from tailorshop.keeping.snapshot import Snapshot
from tailorshop.keeping.unpack import unpack
from tests.factories import UserFactory

AT = dt.datetime(2026, 11, 25, 3, 30, tzinfo=dt.UTC)
KEY = pyrage.x25519.Identity.generate()
pytestmark = pytest.mark.django_db
IN_MEMORY = {"default": {"BACKEND": "django.core.files.storage.InMemoryStorage"}}


@pytest.fixture(scope="module")
def made(tmp_path_factory: Any, django_db_setup: None, django_db_blocker: Any) -> tuple[Path, Path]:
    """The archives, plain and sealed, of a shop of three accounts and two files; made once."""
    folder = tmp_path_factory.mktemp("made") / "to"
    with django_db_blocker.unblock(), override_settings(STORAGES=IN_MEMORY):
        users = UserFactory.create_batch(3, first_name="Peregrine-of-the-seal")
        for name in ("photographs/ab/one.jpg", "photographs/cd/two.jpg"):
            default_storage.save(name, ContentFile(name.encode() * 3000))
        plain, _ = back_up(folder, at=AT, recipients=[], portable=True)
        to = [read_recipient(str(KEY.to_public()))]
        sealed, _ = back_up(folder, at=AT, recipients=to, portable=True)
        for user in users:
            user.delete()
    return plain, sealed


@pytest.fixture
def archive(made: tuple[Path, Path], tmp_path: Path) -> Path:
    """A copy of the plain one, to be damaged."""
    return Path(shutil.copy2(made[0], tmp_path))


@pytest.fixture
def sealed(made: tuple[Path, Path], tmp_path: Path) -> Path:
    return Path(shutil.copy2(made[1], tmp_path))


def taken(path: Path, folder: Path, keys: list[Any] | None = None) -> Manifest:
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    return unpack(path, folder, keys or [])


def rewritten(path: Path, **said: Any) -> Path:
    """The archive with its list changed and digested anew, as another program would write it."""
    out = path.with_name("other.tar")
    with tarfile.open(path) as old, tarfile.open(out, "w") as new:
        members = {m.name: old.extractfile(m).read() for m in old}  # type: ignore[union-attr]
        members[MANIFEST] = json.dumps(json.loads(members[MANIFEST]) | said).encode()
        members[MANIFEST_DIGEST] = sha256(members[MANIFEST]).hexdigest().encode()
        for name, data in members.items():
            member = tarfile.TarInfo(name)
            member.size = len(data)
            new.addfile(member, io.BytesIO(data))
    return out


def test_nothing_but_the_archives_is_left_in_their_folder(made: tuple[Path, Path]) -> None:
    assert set(made[0].parent.iterdir()) == set(made)


def test_a_whole_archive_is_taken_and_says_what_it_holds(archive: Path, tmp_path: Path) -> None:
    manifest = taken(archive, tmp_path / "out")
    assert manifest.rows["tailorshop_user"] == 3
    assert set(manifest.media) == {"photographs/ab/one.jpg", "photographs/cd/two.jpg"}
    file = tmp_path / "out/media/photographs/ab/one.jpg"
    assert manifest.media["photographs/ab/one.jpg"].sha256 == sha256(file.read_bytes()).hexdigest()
    assert archive.name == "fitting-book-20261125T033000Z.tar"
    assert archive.stat().st_mode & 0o077 == 0, "others on the machine can read it"


def test_any_tar_program_finds_the_same_digests(archive: Path, tmp_path: Path) -> None:
    """An outside view: GNU tar and sha256sum."""
    subprocess.run(["tar", "-xf", archive, "-C", tmp_path], check=True)
    listed = json.loads((tmp_path / MANIFEST).read_text())["files"]
    lines = "".join(f"{said['sha256']}  {name}\n" for name, said in listed.items())
    answer = subprocess.run(["sha256sum", "-c", "-"], input=lines, text=True, cwd=tmp_path)
    assert answer.returncode == 0


@pytest.mark.parametrize("share", [0.0, 0.01, 0.3, 0.7, 0.95, 0.999])
def test_one_cut_short_is_refused_wherever_it_ends(
    archive: Path, tmp_path: Path, share: float
) -> None:
    data = archive.read_bytes()
    # A tar is filled up with empty blocks: what is cut is what is held.
    held = len(data.rstrip(b"\0"))
    archive.write_bytes(data[: int(held * share)])
    with pytest.raises(BadArchive):
        taken(archive, tmp_path / "out")


def test_one_with_a_bit_turned_is_refused_wherever_it_is(archive: Path, tmp_path: Path) -> None:
    data = archive.read_bytes()
    held = len(data.rstrip(b"\0"))
    with tarfile.open(archive) as tar:
        # Header fields such as times and owners are not content, and are not read back.
        starts = [(m.offset_data, m.size) for m in tar if m.size]
    assert held
    for start, size in starts:
        for place in (start, start + size // 2, start + size - 1):
            archive.write_bytes(data[:place] + bytes([data[place] ^ 4]) + data[place + 1 :])
            with pytest.raises(BadArchive):
                taken(archive, tmp_path / "out")


def test_one_of_a_newer_program_is_refused_by_its_steps(archive: Path, tmp_path: Path) -> None:
    newer = rewritten(archive, migrations=["fittings.9999_to_come"], version="9.0")
    with pytest.raises(BadArchive, match=r"newer program \(version 9.0"):
        taken(newer, tmp_path / "out")


def test_one_of_an_older_program_is_taken(archive: Path, tmp_path: Path) -> None:
    manifest = taken(archive, tmp_path / "out")
    check_not_newer(manifest, {*manifest.migrations, "fittings.9999_to_come"})


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"form": 2}, "newer program"),
        ({"kind": "holiday pictures"}, "something else"),
        ({"database": "../../shop.sqlite3"}, "no database of ours"),
        ({"rows": {"tailorshop_user": 4}}, "has 3 rows and had 4"),
        ({"rows": {'x"; DROP TABLE tailorshop_user; --': 1}}, "has None rows"),
        ({"files": {}}, "is not what was put into"),
        ({"made_at": "yesterday"}, "cannot be read"),
    ],
)
def test_one_that_says_otherwise_of_itself_is_refused(
    archive: Path, tmp_path: Path, said: dict[str, Any], why: str
) -> None:
    with pytest.raises(BadArchive, match=why):
        taken(rewritten(archive, **said), tmp_path / "out")


@pytest.mark.parametrize("name", ["../escaped", "media/../../escaped", "/tmp/escaped", "notes.txt"])  # noqa: S108
def test_one_that_would_write_elsewhere_is_refused(tmp_path: Path, name: str) -> None:
    path = tmp_path / "foreign.tar"
    with tarfile.open(path, "w") as tar:
        tar.addfile(tarfile.TarInfo(name), io.BytesIO())
    with pytest.raises(BadArchive, match="none of ours"):
        taken(path, tmp_path / "out")
    assert not list(tmp_path.rglob("escaped"))


def test_one_with_a_link_in_it_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "foreign.tar"
    with tarfile.open(path, "w") as tar:
        link = tarfile.TarInfo("media/link")
        link.type, link.linkname = tarfile.SYMTYPE, "/etc"
        tar.addfile(link)
    with pytest.raises(BadArchive, match="none of ours"):
        taken(path, tmp_path / "out")


def test_one_with_a_file_longer_than_the_archive_is_refused(tmp_path: Path) -> None:
    """GNU tar tells of gaps instead of writing them: a few blocks would fill the disk."""
    (tmp_path / "media").mkdir()
    with (tmp_path / "media/one.jpg").open("wb") as file:
        file.truncate(1 << 40)
    path = tmp_path / "foreign.tar"
    order = ["tar", "--sparse", "-cf", path, "-C", tmp_path, "media/one.jpg"]
    subprocess.run(order, check=True)
    assert path.stat().st_size < 100_000
    with pytest.raises(BadArchive, match="none of ours"):
        taken(path, tmp_path / "out")


def test_a_sealed_one_opens_with_its_key_alone(archive: Path, sealed: Path, tmp_path: Path) -> None:
    keys = tmp_path / "key.txt"
    keys.write_text(f"# kept elsewhere\n{KEY}\n")
    assert sealed.suffix == ".age"
    assert taken(sealed, tmp_path / "out", read_identities(keys)).rows["tailorshop_user"] == 3
    with pytest.raises(BadArchive, match="--identity"):
        taken(sealed, tmp_path / "out")
    with pytest.raises(BadArchive, match="does not open"):
        taken(sealed, tmp_path / "out", [pyrage.x25519.Identity.generate()])


def test_a_sealed_one_shows_neither_a_name_nor_its_key(archive: Path, sealed: Path) -> None:
    assert b"Peregrine-of-the-seal" in archive.read_bytes()
    assert b"Peregrine-of-the-seal" not in sealed.read_bytes()
    assert str(KEY).encode() not in sealed.read_bytes()


def test_a_sealed_one_is_a_tar_to_whoever_opens_the_seal(sealed: Path) -> None:
    """An outside view: the library's own reading of the whole."""
    with tarfile.open(fileobj=io.BytesIO(pyrage.decrypt(sealed.read_bytes(), [KEY]))) as tar:
        assert MANIFEST in tar.getnames()


@pytest.mark.parametrize("cut", [1, 2000, 200_000])
def test_a_sealed_one_cut_short_is_refused(sealed: Path, tmp_path: Path, cut: int) -> None:
    sealed.write_bytes(sealed.read_bytes()[:-cut])
    with pytest.raises(BadArchive):
        taken(sealed, tmp_path / "out", [KEY])


def test_a_recipient_that_is_none_is_refused_before_anything_is_read() -> None:
    with pytest.raises(ValueError, match="begins with age1"):
        read_recipient("the shop")


def test_a_record_in_use_is_not_replaced_unasked(archive: Path) -> None:
    UserFactory()
    with pytest.raises(InUse, match="--replace"):
        restore(archive, [], at=AT, replace=False, say=lambda _: None)


def test_a_file_has_its_name_only_when_it_is_whole(tmp_path: Path) -> None:
    path = tmp_path / "paper"
    path.write_text("before")
    with suppress(ZeroDivisionError), written_whole(path) as file:
        file.write(b"half")
        raise ZeroDivisionError
    assert path.read_text() == "before"
    assert not list(tmp_path.glob(f".*{PART}"))
    with written_whole(path) as file:
        file.write(b"whole")
    assert path.read_text() == "whole"


def test_a_storage_of_whole_files_keeps_and_reads_as_any_other(tmp_path: Path) -> None:
    storage = WholeFileStorage(location=tmp_path)
    assert storage.save("a/b.jpg", ContentFile(b"one")) == "a/b.jpg"
    assert storage.save("a/b.jpg", ContentFile(b"two")) != "a/b.jpg", "nothing is written over"
    assert (tmp_path / "a/b.jpg").read_bytes() == b"one"


def nightly(days: int) -> list[dt.datetime]:
    return [AT - dt.timedelta(days=n) for n in range(days)]


def test_few_archives_all_stay() -> None:
    assert kept(nightly(7)) == set(nightly(7))


def test_two_years_of_nights_leave_seven_days_four_weeks_twelve_months() -> None:
    stay = kept(nightly(730))
    # Counted by hand on a calendar: 19 to 25 November; the weeks that end on the Sundays of 22, 15
    # and 8 November (the newest week is the 25th itself, 22 is among the days); the last days of
    # October back to December 2025.
    assert {m.date() for m in stay} == {
        *(dt.date(2026, 11, day) for day in range(19, 26)),
        *(dt.date(2026, 11, day) for day in (15, 8)),
        *(dt.date(2026, month, 31) for month in (10, 8, 7, 5, 3, 1)),
        *(dt.date(2026, month, 30) for month in (9, 6, 4)),
        dt.date(2026, 2, 28),
        dt.date(2025, 12, 31),
    }


def test_what_an_upgrade_kept_outlives_the_night_after_it() -> None:
    before, nights = AT - dt.timedelta(hours=2), nightly(40)
    assert before in kept([before, *nights])
    # Three nights later the newest of its day stands for it.
    later = [AT + dt.timedelta(days=n) for n in (1, 2, 3)]
    assert before not in kept([before, *nights, *later])


def test_archives_of_a_clock_that_ran_ahead_stay_and_take_the_place_of_no_other(
    tmp_path: Path,
) -> None:
    ahead = [moment + dt.timedelta(days=400) for moment in nightly(30)]
    for moment in (*nightly(7), *ahead):
        (tmp_path / f"fitting-book-{moment:%Y%m%dT%H%M%SZ}.tar").touch()
    assert prune(tmp_path, now=AT) == []


def test_pruning_touches_no_file_of_another_name(tmp_path: Path) -> None:
    for moment in nightly(30):
        (tmp_path / f"fitting-book-{moment:%Y%m%dT%H%M%SZ}.tar").touch()
    (tmp_path / "fitting-book-by-hand.tar").touch()
    prune(tmp_path, now=AT)
    assert (tmp_path / "fitting-book-by-hand.tar").exists()
    assert len(list(tmp_path.iterdir())) == 7 + 2 + 1 + 1


def test_what_a_killed_backup_left_is_cleared_after_a_day_and_one_under_way_is_not(
    tmp_path: Path,
) -> None:
    now = dt.datetime(2026, 3, 2, 12, tzinfo=dt.UTC)
    left, going = tmp_path / ".taking-left", tmp_path / ".taking-going"
    archive = tmp_path / "fitting-book-x.tar"
    for folder in (left, going):
        folder.mkdir()
        (folder / "record.sqlite3").write_bytes(b"a name")
    archive.write_bytes(b"a name")
    for path in (left, archive):
        os.utime(path, (now.timestamp() - 90_000,) * 2)
    os.utime(going, (now.timestamp() - 3_600,) * 2)
    assert clear_left_over(tmp_path, now=now) == [left]
    assert {path.name for path in tmp_path.iterdir()} == {".taking-going", "fitting-book-x.tar"}


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """A small database in the place of the test's own, which is in the midst of a transaction."""

    def take(folder: Path, **said: Any) -> Snapshot:
        file = folder / SQLITE_FILE
        with closing(sqlite3.connect(file)) as database:
            database.execute("CREATE TABLE notes (words)")
        return Snapshot(file=file, rows={"notes": 0}, migrations=())

    monkeypatch.setattr("tailorshop.keeping.archive.snapshot.take", take)


def test_two_backups_of_the_same_second_are_two_archives(small: None, tmp_path: Path) -> None:
    made = [back_up(tmp_path, at=AT, recipients=[])[0] for _ in range(3)]
    assert [path.name for path in made] == [
        "fitting-book-20261125T033000Z.tar",
        "fitting-book-20261125T033000Z-2.tar",
        "fitting-book-20261125T033000Z-3.tar",
    ]
    assert set(tmp_path.iterdir()) == set(made)
    assert prune(tmp_path, now=AT) == [], "of one second, so that they are kept or go together"


def test_what_somebody_waits_for_is_in_no_archive(small: None, tmp_path: Path) -> None:
    for name in ("errands/one/1.zip", "handed-in/one.zip", "photographs/ab/one.jpg"):
        default_storage.save(name, ContentFile(b"x"))
    manifest = back_up(tmp_path, at=AT, recipients=[])[1]
    assert list(manifest.media) == ["photographs/ab/one.jpg"]


@pytest.mark.parametrize("links", [True, False])
def test_a_free_name_is_given_and_no_other_file_loses_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, links: bool
) -> None:
    def refuses(*args: Any) -> None:
        raise OSError(errno.EPERM, "no second names on this disk")

    if not links:
        monkeypatch.setattr(os, "link", refuses)
    names = [tmp_path / "one", tmp_path / "two"]
    for content in ("first", "second"):
        (tmp_path / "file").write_text(content)
        given_free_name(tmp_path / "file", names)
    assert [name.read_text() for name in names] == ["first", "second"]
    (tmp_path / "file").write_text("third")
    with pytest.raises(FileExistsError):
        given_free_name(tmp_path / "file", names)
    assert (tmp_path / "file").read_text() == "third"


def test_one_that_cannot_be_read_again_gets_no_name(
    small: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def misread(*args: Any, **kwargs: Any) -> None:
        raise BadArchive("The disk gives back something else.")

    monkeypatch.setattr("tailorshop.keeping.archive.unpack", misread)
    with pytest.raises(BadArchive):
        back_up(tmp_path, at=AT, recipients=[])
    assert list(tmp_path.iterdir()) == []


def test_the_one_just_made_is_not_pruned_by_a_clock_that_was_set_back(tmp_path: Path) -> None:
    archives = [tmp_path / f"fitting-book-{m:%Y%m%dT%H%M%SZ}.tar" for m in nightly(730)]
    just_made = tmp_path / "fitting-book-19700101T000003Z.tar"
    for path in (*archives, just_made):
        path.touch()
    assert just_made not in prune(tmp_path, now=AT, spared=just_made)
    assert just_made in prune(tmp_path, now=AT), "it would have gone by its name"
