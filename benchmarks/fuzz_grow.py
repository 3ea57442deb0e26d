"""How inputs for fuzzing are grown: random changes of bytes, of figures, of JSON, of lines."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from typing import Any, Final

LONGEST: Final = 20_000  # bytes of a grown input, where a target names no other length

Grow = Callable[[random.Random, bytes], bytes]

TOKENS = (
    b"0", b"-", b"1e308", b"nan", b"inf", b"not given", b"none", b" mm", b" kg", b" in", b"100 m",
    b"{", b"}", b"[", b"]", b'"', b"'", b"\n", b"\r\n", b",", b";", b"=", b".", b"\x00", b"\xff",
    b"true", b"[[x]]", b"\\u0000", b'<c t="s"><v>9</v></c>', b"<f>1+1</f>", b"9" * 20, b"\xc2\xb1",
    b"-0.0", b"1_0", b"\xd9\xa1", b"9999-12-31", b"2026-02-30", b"360 deg", b"0.0001 mm",
)  # fmt: skip

# Texts that forms and records do not expect; each has upset some program before.
ODD_TEXTS: Final = (
    "", " ", "0", "-1", "nan", "inf", "-inf", "1e400", "1e308", "9" * 400, "1_000", "0x10", "٣",
    "１２", "²", "−5", "1,5", "5 %", "not given", "none", "null", "true", "[]", "{}", "\x00",
    "a\x00b", "\ufeff", "\u202eabc", "\ud800", "é" * 300, "x" * 3000, "../../etc", "a/b", "'; --",
    "<script>1</script>", "{{7*7}}", "{0}", "%s%n", "=1+1", "2026-02-30", "9999-12-31",
    "0000-00-00", "12 kg", "12 ± 99 mm", "1e-320 m", "harbour-hatch", "north", "yes", "no",
)  # fmt: skip


def changed(rng: random.Random, content: bytes, longest: int = LONGEST) -> bytes:
    """An input with a few places changed: bytes, tokens, figures, pieces doubled or left out."""
    if rng.random() < 0.4:  # a text that can be read, with other figures
        for _ in range(rng.randint(1, 4)):
            content = another_figure(rng, content)
        return content
    for _ in range(rng.randint(1, 4)):
        at = rng.randrange(len(content) + 1)
        to = min(len(content), at + rng.choice((0, 1, 1, 2, 8, 40)))
        piece = content[at:to]
        new = rng.choice((b"", piece * 2, rng.randbytes(1), rng.choice(TOKENS), rng.choice(TOKENS)))
        content = content[:at] + new + content[to:]
    return content[:longest]


def another_figure(rng: random.Random, content: bytes) -> bytes:
    """One digit of the text made another, or its figure longer, or its sign turned."""
    digits = [i for i, sign in enumerate(content) if 48 <= sign <= 57]
    if not digits:
        return content
    at = rng.choice(digits)
    new = rng.choice((b"0", b"9", b"00", b"-1", b"1e3", b".5", b""))
    return content[:at] + new + content[at + 1 :]


def odd_value(rng: random.Random) -> Any:
    """Something JSON can say that its reader does not expect."""
    return rng.choice((
        None, True, False, 0, -1, 1, 2**31, 2**63, -(2**63) - 1, 10**40, 0.5, 1e308, float("nan"),
        float("inf"), [], {}, [[]], {"": {}}, nest(rng.choice((5, 60, 2000))),
        *ODD_TEXTS[:: rng.choice((1, 3))],
    ))  # fmt: skip


def nest(depth: int) -> Any:
    """Lists in lists."""
    inner: Any = []
    for _ in range(depth):
        inner = [inner]
    return inner


def json_changed(rng: random.Random, text: str) -> str:
    """One value of a JSON text odd, gone, doubled under another name, or moved; as it is if none.

    Keys may come twice and figures be written in ways that `json` itself never writes.
    """
    try:
        data = json.loads(text)
    except (ValueError, RecursionError):
        return text
    places = list(_places(data))
    if not places:
        return text
    holder, key = rng.choice(places)
    _spoil(rng, holder, key, [h[k] for h, k in places])
    try:
        return json.dumps(data, ensure_ascii=rng.random() < 0.5)
    except RecursionError:
        return text


def _places(data: Any) -> list[tuple[Any, Any]]:
    """Every value inside a list or table, by its holder and key."""
    found: list[tuple[Any, Any]] = []
    waiting = [data] if isinstance(data, dict | list) else []
    while waiting:
        item = waiting.pop()
        for key in list(item) if isinstance(item, dict) else range(len(item)):
            found.append((item, key))
            if isinstance(item[key], dict | list):
                waiting.append(item[key])
    return found


def _spoil(rng: random.Random, holder: Any, key: Any, others: list[Any]) -> None:
    how = rng.random()
    if how < 0.5:
        holder[key] = odd_value(rng)
    elif how < 0.65:
        del holder[key]
    elif how < 0.85:
        holder[key] = json.loads(json.dumps(rng.choice(others)))
    elif isinstance(holder, dict):
        holder[rng.choice(ODD_TEXTS)] = odd_value(rng)
    else:
        holder.insert(rng.randrange(len(holder) + 1), odd_value(rng))


def lines_changed(rng: random.Random, content: bytes, longest: int = 400_000) -> bytes:
    """A file of lines: some gone, doubled, moved, cut, joined, ended otherwise, changed inside."""
    lines = content.split(b"\n")
    for _ in range(rng.randint(1, 3)):
        at = rng.randrange(len(lines))
        how = rng.randrange(10)
        if how < 4:
            lines[at] = _as_json(rng, lines[at])
        elif how == 4:
            lines[at] = changed(rng, lines[at], longest)
        else:
            _moved(rng, lines, at, how)
    return b"\n".join(lines or [b""])[:longest]


def _as_json(rng: random.Random, line: bytes) -> bytes:
    text = json_changed(rng, line.decode("utf-8", "replace"))
    return text.encode("utf-8", "surrogatepass")


def _moved(rng: random.Random, lines: list[bytes], at: int, how: int) -> None:
    """Changes of whole lines, or of how they end."""
    if how == 5 and len(lines) > 1:
        del lines[at]
    elif how == 6:
        lines.insert(rng.randrange(len(lines) + 1), lines[at])
    elif how == 7:
        other = rng.randrange(len(lines))
        lines[at], lines[other] = lines[other], lines[at]
    elif how == 8:
        lines[at] += rng.choice((b"\r", b"\x00", b" ", b"\x1a", b"\xc2\x85", b"\xe2\x80\xa8", b","))
    else:
        lines[at] = rng.choice((b"\xef\xbb\xbf", b"\xff\xfe", b"\n", b"[" * 5000)) + lines[at]
