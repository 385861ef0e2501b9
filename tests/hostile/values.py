"""What somebody who means harm, or a broken device, may put into a field."""

from typing import Final

from hypothesis import strategies as st

# Stands in no page of ours: found there again as it was, it would run.
SCRIPT: Final = "<script>chalk()</script>"

NASTY: Final = (
    "",
    " ",
    "\0",
    "a\0b",
    "\ud800",  # half a character
    "\ufffe\uffff",
    "\x01\x1b[31m",
    "\u202eright to left\u202c",
    "e" + "\u0301" * 300,
    "x" * 10_000,
    SCRIPT,
    f'"><img src=x onerror=chalk()>{SCRIPT}',
    "{{ 7|add:7 }}{% debug %}",
    "=HYPERLINK(A1)",
    "'; DROP TABLE tailorshop_user; --",
    "%s%n%(a)s{0}{a.__class__}",
    "../../../../etc/passwd",
    "//198.51.100.1/",
    "a\r\nSet-Cookie: b=c",
    # numbers that are none, and some that are
    "-1",
    "0",
    "-0.0",
    "1.5",
    "12,5 cm",
    "3/0 in",
    "1/0",
    "NaN",
    "-nan",
    "Infinity",
    "-inf",
    "1e308",
    "1e-400",
    "1e999999999",
    "9" * 19,
    "9" * 400,
    "9" * 5000,
    "-" + "9" * 30,
    "0x10",
    "1_000",
    "٣",
    "²",
    "½",
    # days, hours, keys
    "2026-02-30",
    "0001-01-01",
    "9999-12-31",
    "10000-01-01",
    "0000-00-00",
    "25:61",
    "9999-12",
    "0000-13",
    "9999-12-31T23:59:59+14:00",
    "0001-01-01T00:00:00-14:00",
    "00000000-0000-0000-0000-000000000000",
    "{00000000000000000000000000000000}",
    # data within data
    "null",
    "true",
    "[]",
    "{}",
    "[NaN, 1e999]",
    '{"a": "\\ud800", "b": "\\u0000"}',
    "[" * 20_000,
    '{"a":' * 5000,
    "[[[[1]]]]",
)

words = st.one_of(
    st.sampled_from(NASTY),
    st.sampled_from(NASTY),
    st.text(max_size=40),
    st.integers().map(str),
    st.floats().map(str),
    st.decimals().map(str),
    st.dates().map(str),
    st.uuids().map(str),
)
