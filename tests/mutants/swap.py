"""Puts a mutant into a Python that has imported the original, or into one that has not."""

from __future__ import annotations

import importlib.abc
import importlib.machinery
import importlib.util
import sys
from collections.abc import Sequence
from pathlib import Path
from types import CodeType, ModuleType

from tests.mutants.draw import Mutant


def code_of(module: str, text: str) -> CodeType:
    """The compiled text, under the name under which it is imported."""
    return compile(text, str(Path(module).resolve()), "exec", dont_inherit=True)


def changed_function(mutant: Mutant) -> tuple[CodeType, CodeType] | None:
    """The code of the one function that differs, before and after; None where the mutant acts at import."""
    before = code_of(mutant.module, Path(mutant.module).read_text(encoding="utf-8"))
    return _only(before, code_of(mutant.module, mutant.text))


def place(code: CodeType) -> tuple[str, str, int]:
    """Where a function is written."""
    return code.co_filename, code.co_qualname, code.co_firstlineno


class Instead(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Imports one module from another text."""

    def __init__(self, mutant: Mutant) -> None:
        self.mutant = mutant
        self.name = mutant.module.removesuffix(".py").removesuffix("/__init__").replace("/", ".")

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        """Answers for that module alone."""
        if fullname != self.name:
            return None
        return importlib.util.spec_from_file_location(fullname, self.mutant.module, loader=self)

    def exec_module(self, module: ModuleType) -> None:
        """Runs the mutant's text."""
        exec(code_of(self.mutant.module, self.mutant.text), module.__dict__)


def install(mutant: Mutant) -> None:
    """From now on the mutant is imported; nothing of the package may have been."""
    assert not any(name.split(".")[0] == "trailerlib" for name in sys.modules), "the package was imported too early"
    sys.meta_path.insert(0, Instead(mutant))


def _only(before: CodeType, after: CodeType) -> tuple[CodeType, CodeType] | None:
    """Goes down while all but one inner code is the same; a function's own code may be swapped, a class body's not."""
    if not _alike(before, after):
        return None
    pairs = zip(before.co_consts, after.co_consts, strict=False)
    differ = [(a, b) for a, b in pairs if isinstance(a, CodeType) and isinstance(b, CodeType) and _key(a) != _key(b)]
    if len(differ) != 1:
        return None
    a, b = differ[0]
    function = bool(a.co_flags & 0x02)  # CO_NEWLOCALS: a function, not the body of a class
    swappable = function and not a.co_name.startswith("<") and a.co_freevars == b.co_freevars
    return (a, b) if swappable else _only(a, b)


def _alike(before: CodeType, after: CodeType) -> bool:
    """Whether two codes do the same, what stands inside them left aside."""
    plain = [tuple((type(c), c) for c in code.co_consts if not isinstance(c, CodeType)) for code in (before, after)]
    return (
        (before.co_code, before.co_names) == (after.co_code, after.co_names)
        and repr(plain[0]) == repr(plain[1])
        and len(before.co_consts) == len(after.co_consts)
    )


def _key(code: CodeType) -> tuple[object, ...]:
    """What tells one code from another, all that stands inside it included; not where it stands."""
    consts = tuple(_key(c) if isinstance(c, CodeType) else repr(c) for c in code.co_consts)
    return code.co_code, code.co_names, code.co_varnames, code.co_freevars, consts
