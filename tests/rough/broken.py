"""Broken design files, numbered: shipped trailers spoilt in one of many ways.

``python -m tests.rough.broken --count 2000 --processes 2`` hands each to ``python -m trailerlib check`` as a shell does,
``--in-process`` calls it without a process of its own, which is faster.
"""

from __future__ import annotations

import contextlib
import copy
import io
import json
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

import trailerlib as tl
from trailerlib.__main__ import DIFFERS, REFUSED, main

Raw = dict[str, Any]
SECONDS = 60  # so long a check may take at the very most, on a busy machine, with Python's own start
MACHINE_WORDS = ("pydantic", "Traceback", "type=", "input_value", "ValidationError", "value_error", "function-", "NoneType",
                 "object at 0x", "Errno", "\x1b", "line 1 col")  # fmt: skip
STILL_VALID = 0.15  # at most so many of the spoilt files may be valid all the same: a comment cut, a value that fits


class Bare(str):
    """What stands in a file as it is, without quotes."""

    __slots__ = ()


def texts() -> dict[str, str]:
    """The shipped trailers as text."""
    return {name: path.read_text(encoding="utf-8") for name, path in sorted(tl.shipped_trailers().items())}


def raw_of(chance: random.Random) -> Raw:
    """One shipped trailer as plain data that may be changed."""
    paths = tl.shipped_trailers()
    return copy.deepcopy(dict(tl.read_design(paths[chance.choice(sorted(paths))]).raw))


def leaves(node: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The way to every value that is no list or table itself."""
    steps = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    if not isinstance(node, dict | list):
        return [path]
    return [leaf for key, child in steps for leaf in leaves(child, (*path, key))]


def put(raw: Any, path: tuple[Any, ...], value: Any) -> Raw:
    """The data with one value changed."""
    here = raw
    for step in path[:-1]:
        here = here[step]
    here[path[-1]] = value
    return raw  # type: ignore[no-any-return]


def at(raw: Any, path: tuple[Any, ...]) -> Any:
    """What stands somewhere."""
    for step in path:
        raw = raw[step]
    return raw


def toml(value: Any) -> str:
    """Plain data as TOML, on one line for each key."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(str(key))} = {toml(child)}" for key, child in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(toml(child) for child in value) + "]"
    if isinstance(value, Bare):
        return str(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else str(value)


def as_file(raw: Raw) -> bytes:
    """Plain data as the bytes of a file."""
    return "".join(f"{json.dumps(key)} = {toml(value)}\n" for key, value in raw.items()).encode(
        "utf-8", "surrogatepass"
    )


def other_type(chance: random.Random) -> bytes:
    """A value of another type."""
    raw = raw_of(chance)
    path = chance.choice(leaves(raw))
    here = at(raw, path)
    others = [
        value for value in (7, -3, 2.5, True, "word", [], {}, [1, 2], {"a": 1}, [[]]) if type(value) is not type(here)
    ]
    return as_file(put(raw, path, chance.choice(others)))


def other_unit(chance: random.Random) -> bytes:
    """A quantity in a unit of another kind, in none, or in one that does not exist."""
    raw = raw_of(chance)
    told = [
        path
        for path in leaves(raw)
        if isinstance(at(raw, path), str) and at(raw, path)[:1].isdigit() and " " in at(raw, path)
    ]
    path = chance.choice(told)
    number = at(raw, path).split()[0]
    wrong = chance.choice(
        ("furlong", "", "W ft", "kg", "Ah", "%%", "m³", "\u00b5V", "lux", "°K", "lb·ft", "1", "AWG AWG")
    )
    return as_file(put(raw, path, f"{number} {wrong}".strip()))


def dangling(chance: random.Random) -> bytes:
    """A name that nothing goes by."""
    raw = raw_of(chance)
    keys = (
        "circuit",
        "place",
        "supply",
        "from",
        "to",
        "rides",
        "fuse_block",
        "panel",
        "stays",
        "class",
        "wire",
        "kind",
        "cord",
    )
    told = [
        path
        for path in leaves(raw)
        if (path[-1] in keys or path[-2:-1] == ("stays",)) and isinstance(at(raw, path), str)
    ]
    return as_file(
        put(raw, chance.choice(told), chance.choice(("nowhere", "Fridge ", "0", "{subject}", "küche", "a" * 39)))
    )


def extreme(chance: random.Random) -> bytes:
    """A number far beyond anything that is built."""
    raw = raw_of(chance)
    path = chance.choice([p for p in leaves(raw) if not isinstance(at(raw, p), bool) and str(at(raw, p))[:1].isdigit()])
    here = at(raw, path)
    sizes = (
        "1e300",
        "-1e300",
        "1e999",
        "9" * 300,
        "1/0",
        "-0.0",
        "1e-320",
        "0x10",
        "1_000",
        "١٢",
        "٣ 1/2",
        "1e",
        "--5",
        "1e5000",
        "∞",
    )
    if isinstance(here, str):
        unit = here.split()[-1] if " " in here else "ft"
        return as_file(put(raw, path, f"{chance.choice(sizes)} {unit}"))
    return as_file(
        put(
            raw,
            path,
            chance.choice((10**30, -(10**30), 10**400, 1e300, -1e300, -1, Bare("9" * 5000), Bare("0x" + "f" * 9000))),
        )
    )


def no_number(chance: random.Random) -> bytes:
    """Not a number, or without end."""
    raw = raw_of(chance)
    return as_file(put(raw, chance.choice(leaves(raw)), chance.choice((float("nan"), float("inf"), float("-inf")))))


def too_many(chance: random.Random) -> bytes:
    """Ten thousand of something."""
    raw = raw_of(chance)
    key = chance.choice(
        ("load", "circuit", "cargo", "raceway", "tank", "stay", "place", "opening", "supply", "cabinet", "spool")
    )
    count = chance.choice((2500, 10_000, 20_000))
    parts = raw.get(key) or [{"name": "x"}]
    raw[key] = [{**parts[0], "name": f"part {chance.choice((number, 7))}"} for number in range(count)]
    return as_file(raw)


def too_long(chance: random.Random) -> bytes:
    """Five megabytes of text."""
    text = chance.choice(list(texts().values()))
    size = chance.choice((1_200_000, 5_000_000))
    filling = chance.choice(("# " + "x" * size, 'note = "' + "y" * size + '"', "\n" * size, "[[load]]\n" * (size // 9), "é" * size,
                             "x = [" + "1," * (size // 2) + "]"))  # fmt: skip
    return (text + "\n" + filling).encode()


def other_coding(chance: random.Random) -> bytes:
    """Bytes that are not UTF-8."""
    text = chance.choice(list(texts().values())).replace("title = ", "title = 'Prüfstück – relevé' # ", 1)
    coding = chance.choice(("utf-16", "utf-16-le", "utf-32", "latin-1", "cp1252", "cp037", "shift-jis"))
    coded = text.encode(coding, "replace")
    if coding in ("shift-jis",):
        coded = coded.replace(b"relev", b"\x83\x5c\xff")
    return coded


def bad_byte(chance: random.Random) -> bytes:
    """One byte that no text holds, or a mark of order where none belongs."""
    data = bytearray(chance.choice(list(texts().values())).encode())
    wrong = chance.choice((b"\xff", b"\xc0\xaf", b"\xed\xa0\x80", b"\x00", b"\xf8\x88\x80\x80\x80", b"\x80", b"\x1b"))
    place = chance.randrange(len(data))
    return bytes(data[:place] + wrong + data[place:])


HOSTILE = ("<script>alert(1)</script>", "=1+1", "+cmd|' /C calc'!A0", "@SUM(A1)", "-2+3", "../../etc/passwd", "..\\..\\x", "a\nb",
           "a\u202eb", "a\u2028b", "\u0007", "a\u001b[31mred", "x" * 100_000, "a\u0000b", "\ufeffa", " led", "led ", "|x", "a\tb",
           "<img src=x onerror=y>", "a\u0085b", "\ud800")  # fmt: skip


def hostile(chance: random.Random) -> bytes:
    """A text that would do something where it is shown."""
    raw = raw_of(chance)
    told = [
        path
        for path in leaves(raw)
        if path[-1] in ("name", "title", "note", "class", "wire", "kind", "chemistry", "units")
    ]
    return as_file(put(raw, chance.choice(told), chance.choice(HOSTILE)))


def hostile_key(chance: random.Random) -> bytes:
    """A key that is not known, and would do something where it is shown."""
    raw = raw_of(chance)
    tables = [("trailer",), ("battery",), ("feeder",), ()]
    here = at(raw, chance.choice([path for path in tables if not path or path[0] in raw]))
    here[chance.choice((*HOSTILE[:17], "lenght", "Length", "", "a.b", "__class__", "model_config", "0"))] = (
        chance.choice((1, "x", [], {}))
    )
    return as_file(raw)


def deep(chance: random.Random) -> bytes:
    """Lists, tables or keys within one another."""
    depth = chance.choice((60, 400, 3000, 50_000))
    front = chance.choice(("x = " + "[" * depth + "]" * depth, "x = " + "{a=" * depth + "1" + "}" * depth, "a." * depth + "a = 1",
                           "[" + "a." * depth + "a]", "x = " + "[" * depth, "title = " + "[" * depth + "]" * depth))  # fmt: skip
    return (front + "\n" + chance.choice(list(texts().values()))).encode()


def double(chance: random.Random) -> bytes:
    """A key or a table that stands twice."""
    text = chance.choice(list(texts().values()))
    lines = text.splitlines()
    places = [
        n
        for n, line in enumerate(lines)
        if " = " in line and not line.startswith(("#", " ")) and line.count("[") == line.count("]")
    ]
    place = chance.choice(places)
    if chance.random() < 0.3:
        return (
            text
            + "\n"
            + chance.choice(("[trailer]\n", "[site]\n", "[battery]\n[battery]\n", "[[title]]\n", "[load]\n"))
        ).encode()
    return "\n".join([*lines[: place + 1], lines[place], *lines[place + 1 :]]).encode()


def twin(chance: random.Random) -> bytes:
    """Two parts of one name."""
    raw = raw_of(chance)
    lists = [key for key, value in raw.items() if isinstance(value, list) and value and isinstance(value[0], dict)]
    key = chance.choice(lists)
    raw[key] = [*raw[key], copy.deepcopy(chance.choice(raw[key]))]
    return as_file(raw)


def lacking(chance: random.Random) -> bytes:
    """A key that is needed, or a part that others name, is gone."""
    raw = raw_of(chance)
    needed = [("title",), ("trailer",), ("trailer", "length"), ("battery", "capacity"), ("battery", "chemistry"), ("circuit",), ("place",),
              ("load", 0, "class"), ("load", 0, "circuit"), ("circuit", 0, "wire"), ("circuit", 0, "system"), ("stay", 0, "from"),
              ("place", 0, "at"), ("circuit", 0, "name"), ("feeder", "wire"), ("load", 0, "name")]  # fmt: skip
    path = chance.choice([p for p in needed if p[0] in raw])
    here = at(raw, path[:-1])
    del here[path[-1]]
    return as_file(raw)


def other_shape(chance: random.Random) -> bytes:
    """A list where a table belongs, a table where a list belongs, a number where either does."""
    raw = raw_of(chance)
    key = chance.choice([key for key, value in raw.items() if isinstance(value, dict | list)])
    here = raw[key]
    raw[key] = chance.choice(
        (5, "word", [5], [[]], {"name": 5}, [here, here] if isinstance(here, dict) else {"a": here}, True)
    )
    return as_file(raw)


def cut_short(chance: random.Random) -> bytes:
    """A file of which the end is missing."""
    text = chance.choice(list(texts().values())).encode()
    return text[: chance.randrange(len(text))]


def scribbled(chance: random.Random) -> bytes:
    """A few characters gone or too many."""
    text = chance.choice(list(texts().values()))
    for _ in range(chance.randint(1, 6)):
        place, gone = chance.randrange(len(text)), chance.randint(0, 6)
        text = (
            text[:place]
            + "".join(chance.choice("[]{}=\"'#.\n\\,abc019-: \t\r") for _ in range(chance.randint(0, 4)))
            + text[place + gone :]
        )
    return text.encode()


def other_file(chance: random.Random) -> bytes:
    """Something else altogether."""
    return chance.choice((
        b"", b"\n", b" \t\r\n", b"# nothing\n", b"\xef\xbb\xbf", b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", b"PK\x03\x04" + bytes(range(256)),
        b'{"title": "x"}', b"<html><body>x</body></html>", b"import os\n", b"title: x\ntrailer:\n  length: 3\n", b"\0" * 5000,
        b"x", b"=", b"[", b"[[", b"[]", b"''", b'"""', b"title = 'x'", b"[trailer]\nlength = '1 m'\nwidth = '1 m'\nheight = '1 m'",
        bytes(chance.randrange(256) for _ in range(chance.randint(1, 3000))), b"trailer = 1\ntitle = 'x'", b"inf = inf\n", b"a = 1979-05-27",
    ))  # fmt: skip


KINDS: tuple[Callable[[random.Random], bytes], ...] = (
    other_type, other_unit, dangling, extreme, no_number, too_many, too_long, other_coding, bad_byte, hostile, hostile_key, deep,
    double, twin, lacking, other_shape, cut_short, scribbled, other_file,
)  # fmt: skip
SURE = (no_number, too_many, too_long, twin, hostile_key, deep, double, other_file)  # these can never be valid


def good_with_broken_readings(folder: Path, chance: random.Random) -> Path:
    """A good design whose readings are spoilt."""
    file = folder / "trailer.toml"
    file.write_text(texts()["one-lamp"], encoding="utf-8")
    lines = chance.choice((
        b"reading = 5\n", b"[reading]\n'a/b' = 5\n", b"[reading]\n'a/b' = '5 furlong'\n", b"\xff\xfe", b"[reading]\nx = {on = '2026-01-01'}\n",
        b"[reading]\nx = {measured = '5 V', on = '2026-13-01'}\n", b"[reading]\n'<b>' = '5 V'\n", b"revision = -1\n", b"other = 1\n",
        b"[reading]\nx = '1e300 V'\n", b"[reading]\nx = '-5 ohm'\n", b"[reading]\nx = nan\n", b"x" * 2_000_000, b"[" * 5000,
        b"[reading]\n" + b"\n".join(b"'k%d' = 'maybe'" % n for n in range(10_000)), b"[reading]\nx = {measured = '5 V', note = '=1+1'}\n",
    ))  # fmt: skip
    (folder / "trailer.readings.toml").write_bytes(lines)
    return file


def not_a_file(folder: Path, chance: random.Random) -> Path:
    """A folder, a pipe, a link in a circle, a device without end, or nothing at all."""
    path = folder / chance.choice(
        ("trailer.toml", "a b.toml", "ä\u202e.toml", "line\nbreak.toml", "\x1b[31mred.toml", "-x.toml")
    )
    how = chance.randrange(7)
    if how == 0:
        path.mkdir()
    elif how == 1:
        os.mkfifo(path)
    elif how == 2:
        path.symlink_to(path)
    elif how == 3:
        path.symlink_to(chance.choice(("/dev/zero", "/dev/full", "/dev/null")))
    elif how == 4:
        return path / "deeper" / "trailer.toml"
    elif how == 5:
        return folder / chance.choice(("x" * 300, "nul\0byte.toml", "", ".", ".."))
    return path


def spoilt(number: int, folder: Path) -> tuple[str, Path, bool]:
    """Make the broken file of a number.

    Parameters
    ----------
    number : [-] the same number makes the same file
    folder : an empty folder for it

    Returns
    -------
    (kind, path, sure)
        What was done, where it is, and whether it cannot be valid any more.
    """
    chance = random.Random(number)
    which = number % (len(KINDS) + 2)
    if which == len(KINDS):
        return "good_with_broken_readings", good_with_broken_readings(folder, chance), True
    if which == len(KINDS) + 1:
        return "not_a_file", not_a_file(folder, chance), True
    kind, file = KINDS[which], folder / "trailer.toml"
    file.write_bytes(kind(chance))
    return kind.__name__, file, kind in SURE


def in_process(path: str) -> tuple[int, str, str]:
    """Exit code and what is said, without a process of its own; what hangs is ended by an alarm."""
    out, err = io.StringIO(), io.StringIO()

    def hangs(*_: object) -> None:
        raise TimeoutError("the check hangs")

    signal.signal(signal.SIGALRM, hangs)
    signal.alarm(SECONDS)
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = main(["check", "--", path])
    finally:
        signal.alarm(0)
    return code, out.getvalue(), err.getvalue()


def as_a_shell(path: str) -> tuple[int, str, str]:
    """The same in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-m", "trailerlib", "check", "--", path],
        capture_output=True,
        timeout=SECONDS,
        stdin=subprocess.DEVNULL,
    )
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def judged(code: int, out: str, err: str, sure: bool) -> str:
    """``refused`` with one clear sentence, or ``valid`` all the same.

    Raises
    ------
    AssertionError
        When it is neither.
    """
    if code != REFUSED:
        assert not sure, f"taken for a valid design: {out[:200]}"
        assert code in (0, DIFFERS) and not err and out.count("\n") > 5, (code, err[:300])
        return "valid"
    assert not out, f"something was said before the refusal: {out[:200]}"
    assert err.endswith("\n") and err.count("\n") == 1, f"not one line: {err[:500]}"
    sentence = err.rstrip("\n")
    assert sentence.rstrip('"').endswith((".", "?")) and len(sentence) < 600, sentence[:700]
    assert sentence.isprintable(), ascii(sentence)
    assert not [word for word in MACHINE_WORDS if word in sentence], sentence
    assert len(sentence.split()) >= 5, sentence
    return "refused"


def one(task: tuple[int, bool]) -> tuple[str, str, str, float]:
    """Kind, verdict, what was wrong, and seconds of one number."""
    number, shell = task
    with tempfile.TemporaryDirectory() as name:
        kind, path, sure = spoilt(number, Path(name))
        if "\0" in str(path) and shell:
            shell = False  # no shell can say such a name
        began = time.monotonic()
        try:
            verdict, wrong = judged(*(as_a_shell if shell else in_process)(str(path)), sure), ""
        except Exception as error:
            verdict, wrong = "wrong", f"{type(error).__name__}: {str(error)[:400]}"
        return kind, verdict, wrong, time.monotonic() - began


def numbers(start: int) -> Iterator[int]:
    """All numbers from one on."""
    while True:
        yield start
        start += 1


def command() -> int:
    """Print how many were refused, by kind; 0 when all that is broken was."""
    import argparse

    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument(
        "--count", type=int, default=2000, help="of files that are broken; those still valid come on top"
    )
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--in-process", action="store_true")
    parser.add_argument("--start", type=int, default=0)
    given = parser.parse_args()
    verdicts: Counter[tuple[str, str]] = Counter()
    refused, longest, wrong, began, start = 0, 0.0, list[str](), time.monotonic(), given.start
    with ProcessPoolExecutor(given.processes) as pool:
        while refused + len(wrong) < given.count:
            these = range(start, start + min(200, given.count - refused - len(wrong)))
            start = these.stop
            for number, (kind, verdict, said, seconds) in zip(
                these, pool.map(one, [(n, not given.in_process) for n in these]), strict=True
            ):
                verdicts[kind, verdict] += 1
                refused, longest = refused + (verdict == "refused"), max(longest, seconds)
                wrong += [f"{number} {kind}: {said}"] if verdict == "wrong" else []
            print(f"\r{refused} refused", end="", flush=True)
    print()
    for kind in sorted({kind for kind, _ in verdicts}):
        print(
            f"{kind:<28}"
            + "  ".join(f"{verdict} {verdicts[kind, verdict]}" for verdict in ("refused", "valid", "wrong"))
        )
    valid = sum(count for (_, verdict), count in verdicts.items() if verdict == "valid")
    print(
        f"{refused} refused with one sentence, {valid} valid all the same, {len(wrong)} wrong; longest {longest:.1f} s, all {time.monotonic() - began:.0f} s."
    )
    print("\n".join(wrong[:40]))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(command())
