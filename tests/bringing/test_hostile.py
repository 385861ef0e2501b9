"""Files that are broken or mean harm: each is refused in a sentence, and nothing is fetched."""

import socket
import time
from collections.abc import Iterator
from contextlib import suppress
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from ezdxf.filemanagement import new
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.bringing.brought import NotBroughtIn
from patterns.bringing.offer import read_file
from patterns.bringing.understanding import understand
from tests.bringing.files import TOP, UNDER, dxf, group, svg
from tests.bringing.outlines import DRAFTED
from tests.bringing.test_reading import polylines

SLOWEST_S = 5.0


@pytest.fixture(autouse=True)
def _no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*args: Any, **kwargs: Any) -> None:
        raise AssertionError("something was fetched")

    monkeypatch.setattr(socket.socket, "connect", refuse)


def refusal(data: bytes) -> str:
    """The sentence with which a file is refused; no bomb keeps the processor busy."""
    begun = time.process_time()
    with pytest.raises(NotBroughtIn) as refused:
        understand(read_file(data), "", DRAFTED)
    assert time.process_time() - begun < SLOWEST_S
    sentence = str(refused.value)
    assert sentence.rstrip().endswith((".", ")"))
    return sentence


def bombs() -> Iterator[tuple[str, bytes, str]]:
    body = group("top sleeve", TOP)
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"'
    laughs = "".join(
        f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' if n else '<!ENTITY a0 "ha">' for n in range(10)
    )
    yield "entities", f"<!DOCTYPE svg [{laughs}]>{head}><g>&a9;</g></svg>".encode(), "DOCTYPE"
    outside = '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>'
    yield "a file from outside", f"{outside}{head}><g id='a'>&x;</g></svg>".encode(), "DOCTYPE"
    plain = '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "svg11.dtd">'
    yield "a DTD", f"{plain}{head}/>".encode(), "DOCTYPE"
    yield "a script", svg(f"<script>alert(1)</script>{body}"), "script"
    yield "an event", svg(f'<g onload="x()">{body}</g>'), "scripts"
    yield "foreign", svg("<foreignObject><b/></foreignObject>"), "script"
    for name, value in (
        ("href", "http://198.51.100.1/a.png"),
        ("href", "file:///etc/passwd"),
        ("href", "data:image/png;base64,AAAA"),
        ("style", "fill:url(//198.51.100.1/x)"),
    ):
        yield f"{name} {value}", svg(f'<image {name}="{value}"/>{body}'), "outside"
    yield "import", svg("<style>@import 'a.css';</style>" + body), "outside"
    yield "deep", svg("<g>" * 60 + "</g>" * 60), "deep"
    yield "abyss", svg("<g>" * 150_000 + "</g>" * 150_000), "deep"
    yield "cut off", svg()[:-200], "no SVG"
    yield "other XML", b"<html><body/></html>", "no SVG drawing"
    yield (
        "not a number",
        svg(group("top sleeve", {**TOP, "cuff": "M nan 640 L 92 622"})),
        "cannot be read",
    )
    yield "infinite", svg(group("top sleeve", {**TOP, "cuff": "M 0 0 L 1e999 2"})), "number"
    curved = "M 0 0 C 1 1 1e999 2 3 3"
    yield "infinite curve", svg(group("top sleeve", {**TOP, "cuff": curved})), "number"
    yield "far away", svg(group("top sleeve", {**TOP, "cuff": "M 0 0 L 1e8 2"})), "metres away"
    yield "half a path", svg(group("top sleeve", {**TOP, "cuff": "M 0 0 C 1 2 3"})), "cannot be"
    yield "bad transform", svg(top_sleeve="rotate(a)"), "transform"
    yield "unknown transform", svg(top_sleeve="spin(3)"), "transform"
    yield "no size", svg(size='viewBox="0 0 9 9"'), "how large"
    yield "percent", svg(size='width="100%" height="100%" viewBox="0 0 9 9"'), "how large"
    yield "stretched", svg(size='width="9mm" height="18mm" viewBox="0 0 9 9"'), "stretched"
    yield "box", svg(size='width="9mm" height="9mm" viewBox="0 0 0 9"'), "viewBox"
    many = "M0 0" + "L1 1L2 3" * 60_000
    yield "many points", svg(group("top sleeve", {**TOP, "cuff": many})), "points"
    yield "huge", svg(body + " " * 2_100_000), "million bytes"
    yield "no names", svg('<path d="M0 0L9 9"/>'), "name"
    yield (
        "one edge missing",
        svg(group("top sleeve", {"head": TOP["head"]}) + group("under sleeve", UNDER)),
        "no hindarm",
    )
    yield "one piece missing", svg(body), "no under sleeve"
    apart = {**TOP, "cuff": "M -40 640 L 92 600"}
    yield "apart", svg(group("top sleeve", apart) + group("under sleeve", UNDER)), "apart"
    flat = {**TOP, "head": "M -95 95 L -95 95"}
    yield "no length", svg(group("top sleeve", flat) + group("under sleeve", UNDER)), "length"
    eight = "M-60 0C-60 -200 60 200 60 0C60 -200 -60 200 -60 0Z"
    yield "crossing armhole", svg(group("armhole", {"armhole": eight})), "runs over itself"
    yield "open armhole", svg(group("armhole", {"armhole": "M0 0L100 0L100 100L0 90"})), "open"
    yield "nothing", b" \n", "empty"
    yield "a picture", b"\x89PNG\r\n\x1a\n" + b"\0" * 50, "neither"
    yield "an office file", b"PK\x03\x04" + b"\0" * 50, "neither"


CASES = list(bombs())


@pytest.mark.parametrize(("data", "words"), [c[1:] for c in CASES], ids=[c[0] for c in CASES])
def test_a_bad_svg_file_is_refused_in_a_sentence(data: bytes, words: str) -> None:
    assert words in refusal(data)


def written(document: Any) -> bytes:
    stream = StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def test_dxf_blocks_within_blocks_are_refused() -> None:
    document = new("R2010", units=4)
    for level in range(8):
        block = document.blocks.new(f"B{level}")
        if level:
            for _ in range(20):
                block.add_blockref(f"B{level - 1}", (0, 0))
        else:
            block.add_line((0, 0), (1, 1))
    document.modelspace().add_blockref("B7", (0, 0))
    assert "blocks in it" in refusal(written(document))


def test_dxf_rows_of_inserts_are_refused() -> None:
    document = new("R2010", units=4)
    document.blocks.new("TOP_SLEEVE").add_line((0, 0), (1, 1), dxfattribs={"layer": "HEAD"})
    rows = {"row_count": 30000, "column_count": 30000, "row_spacing": 1, "column_spacing": 1}
    document.modelspace().add_blockref("TOP_SLEEVE", (0, 0), dxfattribs=rows)
    assert "many times" in refusal(written(document))


def test_a_dxf_insert_of_a_block_that_is_not_there_is_refused() -> None:
    document = new("R2010", units=4)
    document.modelspace().add_blockref("NOWHERE", (0, 0))
    assert "name" in refusal(written(document))


def test_dxf_numbers_that_are_none_are_refused() -> None:
    data = dxf(polylines())
    assert refusal(data.replace(b"-95.0", b"nan", 1))
    assert refusal(data.replace(b"-95.0", b"1e300", 1))


def test_an_endless_count_in_a_dxf_file_and_an_insert_of_no_name_are_refused() -> None:
    assert "no DXF" in refusal(
        dxf(polylines()).replace(b"$INSUNITS\n 70\n4", b"$INSUNITS\n 70\ninf")
    )
    document = new("R2010", units=4)
    document.blocks.new("TOP_SLEEVE").add_line((0, 0), (1, 1))
    document.modelspace().add_blockref("TOP_SLEEVE", (0, 0))
    before, here, after = written(document).partition(b"AcDbBlockReference")
    nameless = before + here + after.replace(b"  2\nTOP_SLEEVE\n", b"", 1)
    assert "cannot be read" in refusal(nameless)


def test_a_binary_or_broken_dxf_is_refused() -> None:
    assert "binary" in refusal(b"0\nSECTION\n\0\0")
    assert "no DXF" in refusal(b"0\nSECTION\n2\nHEADER\nhello")
    assert "no DXF" in refusal(dxf(polylines())[:5000])


@settings(deadline=None, max_examples=60, derandomize=True)
@given(at=st.integers(0, 3000), junk=st.binary(min_size=1, max_size=12))
def test_a_damaged_svg_is_read_or_refused_and_nothing_else(at: int, junk: bytes) -> None:
    whole = svg()
    place = at % len(whole)
    with suppress(NotBroughtIn):
        understand(read_file(whole[:place] + junk + whole[place + len(junk) :]), "", DRAFTED)


@settings(deadline=None, max_examples=40, derandomize=True)
@given(share=st.floats(0, 1), junk=st.binary(min_size=1, max_size=12))
def test_a_damaged_dxf_is_read_or_refused_and_nothing_else(share: float, junk: bytes) -> None:
    whole = dxf({k: {n: p[::20] for n, p in v.items()} for k, v in polylines().items()})
    place = int(share * (len(whole) - 1))
    with suppress(NotBroughtIn):
        understand(read_file(whole[:place] + junk + whole[place + len(junk) :]), "", DRAFTED)


def test_no_reader_opens_files_or_addresses() -> None:
    """The readers take bytes; nothing that fetches is imported by them."""
    package = Path(__file__).parents[2] / "patterns" / "bringing"
    for module in package.glob("*.py"):
        text = module.read_text().replace("Image.open(BytesIO(", "").replace("storage.open(", "")
        for word in ("urllib", "requests", "httpx", "open(", "ezdxf.readfile", "subprocess"):
            assert word not in text, (module.name, word)
