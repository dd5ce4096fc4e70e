"""Compiled functions kept as machine code, so that later runs load them without the compiler.

Loading the compiler and what it needs to know of its library takes longer than most answers. For the few functions
that a run calls from Python, the machine code that it made is kept as an object file of a few kilobytes, which the
compiler's own back end (llvmlite) loads alone. It is the compiler's code, instruction for instruction, so the bits of
an answer are the same. Whatever does not fit (another processor, version, source or setting, a file that is not as it
was written, an array of another kind) goes to the compiler as before.

Such a function takes numbers and contiguous arrays and allocates nothing. Its arguments are handed over as one block of
eight-byte words: an array as its address and its shape, a whole number or a double as it is.
"""

from __future__ import annotations

import ctypes
import hashlib
import importlib.util
import os
import struct
import sys
from collections.abc import Callable
from contextlib import AbstractContextManager, suppress
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import FunctionType
from typing import Any

from shellcheck_earth.basics.whole import write_whole

__all__ = ["Called", "Compiled", "Place"]

KINDS = {"i": ("q", 0, ""), "d": ("d", 0, ""), "1": ("qq", 1, "<f8"), "2": ("qqq", 2, "<f8"), "n": ("qq", 1, "<i8"),
         "c": ("qqq", 2, "<i8")}  # fmt: skip
"""What a function takes: a whole number, a double, doubles in a row or a table, whole numbers in a row or a table. How
it lies in the block, its dimensions, and what it holds."""

NEVER_CALLED = "NRT_MemInfo_call_dtor"
"""Frees an array of the compiler's own. These functions make none; if one did, the process would be aborted."""

ALLOWED = ("memset", "memcpy", "memmove", "sqrt", NEVER_CALLED)
"""What the code may ask of the process it runs in."""

MARK = hashlib.sha256(b"").digest_size
LARGEST = 1_000_000
"""Bytes of a file of machine code that is read; they have some ten thousand."""


class UnfitError(Exception):
    """An argument that this machine code does not take."""


@dataclass(frozen=True)
class Place:
    """Where things are kept: the folder, None where there is none, and the compiler's setting for a moment."""

    folder: Callable[[], Path | None]
    keeping: Callable[[Path], AbstractContextManager[None]]


@dataclass(frozen=True)
class Called:
    """takes, gives: the kinds of a function's arguments and of its result, a letter each; "": not called from Python,
    or only by way of the compiler.
    """

    takes: str = ""
    gives: str = ""


class Compiled:
    """A function of ours that runs as machine code: by the compiler, or, where `takes` says what it takes, as kept."""

    def __init__(self, function: Callable[..., Any], way: dict[str, Any], called: Called, place: Place) -> None:
        self.function, self.way, self.place = function, way, place
        self.takes, self.gives = called.takes, called.gives
        self.__doc__, self.__name__ = function.__doc__, function.__name__
        self._dispatcher: Any = None
        self._code: _Code | None = None
        self._looked = not called.takes

    @property
    def dispatcher(self) -> Any:
        """The compiler's own object for it, which it makes at the first call."""
        if self._dispatcher is None:
            import numba

            inner = self.function
            assert isinstance(inner, FunctionType)
            seen = FunctionType(inner.__code__, _as_the_compiler_sees(inner), inner.__name__, inner.__defaults__)
            seen.__qualname__, seen.__module__ = inner.__qualname__, inner.__module__
            folder = self.place.folder()
            if folder is not None:
                with suppress(OSError, RuntimeError), self.place.keeping(folder):  # the place may have gone since
                    self._dispatcher = numba.njit(cache=True, **self.way)(seen)
            if self._dispatcher is None:
                self._dispatcher = numba.njit(**self.way)(seen)
        return self._dispatcher

    def __call__(self, *arguments: Any) -> Any:
        if not self._looked:
            self._code, self._looked = _kept_code(self), True
        if self._code is not None:
            with suppress(UnfitError):
                return self._code(*arguments)
        return self.dispatcher(*arguments)


_VIEWS: dict[int, dict[str, Any]] = {}


def _as_the_compiler_sees(function: FunctionType) -> dict[str, Any]:
    """The names a function knows, with the compiler's own object in the place of every compiled function."""
    names = function.__globals__
    found = _VIEWS.get(id(names))
    if found is None:
        found = _VIEWS[id(names)] = dict(names)
        for name, value in names.items():
            if isinstance(value, Compiled):
                found[name] = value.dispatcher
    return found


class _Code:
    """Machine code at its address. The interpreter's lock is held while it runs, as by the compiler's own calls."""

    def __init__(self, engine: Any, address: int, takes: str, gives: str) -> None:
        self.engine = engine  # keeps the code where it is
        self.kinds = [KINDS[kind][1:] for kind in takes]
        self.block = struct.Struct("".join(KINDS[kind][0] for kind in takes))
        self.out = struct.Struct("".join(KINDS[kind][0] for kind in gives))
        self.single: Any = {"i": ctypes.c_int64, "d": ctypes.c_double}.get(gives)
        self.call = ctypes.PYFUNCTYPE(ctypes.c_int32, ctypes.c_void_p, ctypes.c_void_p, ctypes.c_char_p)(address)
        self.fault = ctypes.addressof(FAULT)
        self.last: list[tuple[Any, tuple[int, ...]]] = [(None, ())] * len(takes)

    def __call__(self, *arguments: Any) -> Any:
        words: list[Any] = []
        last = self.last
        for at, (dimensions, holds) in enumerate(self.kinds):
            one = arguments[at]
            if not dimensions:
                words.append(one)
                continue
            known, place = last[at]
            if known is not one:  # most questions come with the arrays of the last one
                place = _place(one, dimensions, holds)
                last[at] = one, place
            words += place
        block = self.block.pack(*words)
        if self.single is not None:
            out = self.single()
            if self.call(ctypes.addressof(out), self.fault, block):
                raise UnfitError
            return out.value
        buffer = ctypes.create_string_buffer(self.out.size or 8)
        if self.call(ctypes.addressof(buffer), self.fault, block):
            raise UnfitError
        return self.out.unpack_from(buffer)


FAULT = ctypes.c_void_p()
"""Where the code would say what is wrong; the compiler is asked instead, which raises it."""


def _place(array: Any, dimensions: int, holds: str) -> tuple[int, ...]:
    """Address and shape; UnfitError for what is no contiguous array of that kind."""
    face = getattr(array, "__array_interface__", None)
    if face is None or face["strides"] is not None or face["typestr"] != holds or len(face["shape"]) != dimensions:
        raise UnfitError
    return face["data"][0], *face["shape"]


def _kept_code(wanted: Compiled) -> _Code | None:
    """The machine code of a function, compiled and kept at its first call; None where the compiler has to do it."""
    folder = wanted.place.folder()
    if folder is None or os.name != "posix" or sys.byteorder != "little" or struct.calcsize("P") != 8:
        return None
    try:
        path = folder / f"{wanted.function.__module__}.{wanted.__name__}-{_key(wanted.takes, wanted.gives)}.code"
        found = _read(path)
        if found is None:
            found = _compile(wanted)
            _write(path, found)
        return _loaded(found, wanted)
    except (OSError, ImportError, RuntimeError, ValueError, AttributeError, KeyError):
        return None


@cache
def _surroundings() -> str:
    """What machine code depends on besides its source: processor, compiler, interpreter, and their settings."""
    import llvmlite
    import llvmlite.binding as llvm

    compiler = importlib.util.find_spec("numba")
    if compiler is None or compiler.origin is None:
        raise ImportError("no compiler")
    version = Path(compiler.origin).with_name("_version.py").read_bytes()
    settings = sorted((name, value) for name, value in os.environ.items() if name.startswith("NUMBA_"))
    features = llvm.get_host_cpu_features().flatten()
    return repr((llvmlite.__version__, version, sys.version, settings, llvm.get_host_cpu_name(), features))


def _key(takes: str, gives: str) -> str:
    """Of the way it is called, this module and the surroundings; the folder's name holds a digest of the sources."""
    own = hashlib.sha256(Path(__file__).read_bytes()).hexdigest() if __file__ else ""
    return hashlib.sha256(repr((own, takes, gives, _surroundings())).encode()).hexdigest()[:20]


def _read(path: Path) -> bytes | None:
    """What was kept there; None where there is nothing, or not what was written."""
    try:
        with path.open("rb") as file:
            found = file.read(LARGEST)
    except FileNotFoundError:
        return None
    whole = found[:MARK] == hashlib.sha256(path.name.encode() + b"\0" + found[MARK:]).digest()
    return found[MARK:] if whole else None


def _write(path: Path, what: bytes) -> None:
    """With what says later that it is as it was written; nothing where it cannot be."""
    with suppress(OSError):
        write_whole(path, hashlib.sha256(path.name.encode() + b"\0" + what).digest() + what)


def _compile(wanted: Compiled) -> bytes:
    """Its name in the object file, a line end, and the object file; nothing where it asks for more than is allowed."""
    import numba
    from numba import types
    from numba.core import config as settings

    config: Any = settings
    if config.DISABLE_JIT:
        return b""
    way: Any = {"error_model": "numpy", "no_cpython_wrapper": True, "no_cfunc_wrapper": True}
    entry: Any = numba.njit(**way)(_unpacking(wanted))
    entry.compile((types.voidptr,))
    (found,) = entry.overloads.values()
    library = found.library
    module = library._final_module
    asks = [one.name for one in [*module.functions, *module.global_variables] if one.is_declaration]
    if any(not name.startswith("llvm.") and name not in ALLOWED for name in asks):
        return b""
    if str(found.signature.return_type) != _type_of(wanted.gives):
        return b""
    return f"{found.fndesc.llvm_func_name}\n".encode() + bytes(library._get_compiled_object())


def _type_of(gives: str) -> str:
    """What the compiler calls a result of these kinds."""
    names = [{"i": "int64", "d": "float64"}[kind] for kind in gives]
    if len(names) < 2:
        return names[0] if names else "none"
    return f"UniTuple({names[0]} x {len(names)})" if len(set(names)) == 1 else f"Tuple({', '.join(names)})"


def _unpacking(wanted: Compiled) -> FunctionType:
    """A function of the block's address that calls the wanted one with what the block holds."""
    import numba
    import numpy as np
    from numba.core import cgutils
    from numba.core.types import voidptr
    from numba.extending import intrinsic

    @intrinsic
    def pointer(_typing: Any, address: Any) -> Any:
        def made(_context: Any, builder: Any, _signature: Any, given: Any) -> Any:
            return builder.inttoptr(given[0], cgutils.voidptr_t)

        return voidptr(address), made

    compiler: Any = numba
    said, at = [], 0
    for kind in wanted.takes:
        _, dimensions, holds = KINDS[kind]
        if dimensions:
            shape = ", ".join(f"q[{at + 1 + k}]" for k in range(dimensions))
            said.append(f"carray(pointer(q[{at}]), ({shape},), {'float64' if holds == '<f8' else 'int64'})")
        else:
            said.append(f"{'q' if kind == 'i' else 'd'}[{at}]")
        at += 1 + dimensions
    lines = [
        "def unpacking(block):",
        f"    q = carray(block, ({at},), int64)",
        f"    d = carray(block, ({at},), float64)",
        f"    return wanted({', '.join(said)})",
    ]
    names: dict[str, Any] = {"carray": compiler.carray, "pointer": pointer, "wanted": wanted.dispatcher}
    names |= {"int64": np.int64, "float64": np.float64}
    exec("\n".join(lines), names)
    made: FunctionType = names["unpacking"]
    return made


@cache
def _place_names() -> None:
    """Tell the back end where everything is that is allowed: what it does not find would end the process."""
    import llvmlite.binding as llvm

    here = ctypes.CDLL(None)
    for name in ALLOWED:
        function = here.abort if name == NEVER_CALLED else getattr(here, name)
        address = ctypes.cast(function, ctypes.c_void_p).value
        if address is None:
            raise OSError(f"{name} is nowhere")
        llvm.add_symbol(name, address)


def _loaded(found: bytes, wanted: Compiled) -> _Code | None:
    """The code, in this process; None where nothing was kept but that the compiler has to do it."""
    name, _, code = found.partition(b"\n")
    if not code:
        return None
    import llvmlite.binding as llvm

    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()
    _place_names()
    machine = llvm.Target.from_default_triple().create_target_machine(jit=True, codemodel="jitdefault")
    engine = llvm.create_mcjit_compiler(llvm.parse_assembly(""), machine)
    engine.add_object_file(llvm.object_file.ObjectFileRef.from_data(code))
    engine.finalize_object()
    address = engine.get_function_address(name.decode())
    return _Code(engine, address, wanted.takes, wanted.gives) if address else None
