"""The extension's interface: as UNO IDL text, and as the type library Calc reads.

Calc asks the type library for a function's number and kinds of arguments.  The office's
kit writes it from the IDL text with `unoidl-write`; so that nobody needs the kit, the same
bytes are written here.  The tests hold the two equal, byte for byte.

The file: a head with the place of the root map, the payloads, each followed by the names
and map of the module it ends, all numbers little-endian.  A string used before is a
reference to its first place (top bit set).
"""

from __future__ import annotations

import struct
from collections.abc import Iterable
from dataclasses import dataclass, field

from hayfuncs.contract.catalogue import CATALOGUE, Block, Record
from hayfuncs.hosts.wizard import REST

MODULES = ("org", "hayfuncs")
INTERFACE = "XHayFunctions"
SERVICE = "HAY"  # plain, so that a method's full name is HAY.NAME, the form an xlsx import binds
BANNER = "** Created by hayfuncs **"
CELLS = "sequence< sequence< any > >"
BINARY = {"any": "any", CELLS: "[][]any", "sequence< any >": "[]any"}

MODULE, PLAIN_INTERFACE, SERVICE_BY_INTERFACE = 0, 5, 8
DEFAULT_CONSTRUCTOR = 0x20
REFERENCE = 0x80000000
IN = 0


def parameter_name(name: str) -> str:
    """`wet_weight` as IDL allows it: `wetWeight`."""
    first, *more = name.split("_")
    return first + "".join(part[:1].upper() + part[1:] for part in more)


def parameters(record: Record) -> list[tuple[str, str]]:
    """(name, IDL type) of each argument; `any` takes a value or a block of cells."""
    found = [(parameter_name(n), CELLS if isinstance(a, Block) else "any") for n, a in record.args.items()]
    if record.variadic:
        found.append((REST, "sequence< any >"))
    return found


def result_type(record: Record) -> str:
    """Calc refuses a block of numbers inside `any`, and spoils a text inside a block: see component.py."""
    return CELLS if record.numeric else "any"


def idl(records: Iterable[Record] | None = None) -> str:
    """The interface in UNO IDL."""
    lines = [f"module {name} {{" for name in MODULES]
    lines.append(f"interface {INTERFACE} : com::sun::star::uno::XInterface {{")
    for record in CATALOGUE.values() if records is None else records:
        arguments = ", ".join(f"[in] {kind} {name}" for name, kind in parameters(record))
        lines.append(f"  {result_type(record)} {record.name}({arguments});")
    lines += ["};", *("};" for _ in MODULES)]
    lines.append(f"service {SERVICE} : {'::'.join((*MODULES, INTERFACE))};")
    return "\n".join(lines) + "\n"


@dataclass
class _File:
    data: bytearray = field(default_factory=bytearray)
    strings: dict[str, int] = field(default_factory=dict)

    def byte(self, value: int) -> None:
        self.data.append(value)

    def number(self, value: int) -> None:
        self.data += struct.pack("<I", value)

    def string(self, text: str) -> None:
        if text in self.strings:
            self.number(REFERENCE | self.strings[text])
            return
        self.strings[text] = len(self.data)
        self.number(len(text))
        self.data += text.encode("ascii")

    def zero_ended(self, text: str) -> int:
        start = len(self.data)
        self.data += text.encode("ascii") + b"\0"
        return start

    def map(self, entries: list[tuple[str, int]]) -> list[tuple[int, int]]:
        """Names of a map's entries written out; gives (place of name, place of payload), in name order."""
        return [(self.zero_ended(name), payload) for name, payload in sorted(entries)]

    def module(self, entries: list[tuple[str, int]]) -> int:
        places = self.map(entries)
        start = len(self.data)
        self.byte(MODULE)
        self.number(len(places))
        for name, payload in places:
            self.number(name)
            self.number(payload)
        return start


def type_library(records: Iterable[Record] | None = None, banner: str = BANNER) -> bytes:
    """The type library that `unoidl-write` makes of `idl(records)`, but for the banner."""
    file = _File(bytearray(b"UNOIDL\xff\0" + bytes(8)))
    file.zero_ended("\0" + banner)
    service = len(file.data)
    file.byte(SERVICE_BY_INTERFACE | DEFAULT_CONSTRUCTOR)
    file.string(".".join((*MODULES, INTERFACE)))
    place = _interface(file, list(CATALOGUE.values() if records is None else records))
    name = INTERFACE
    for module in reversed(MODULES):
        place, name = file.module([(name, place)]), module
    root = file.map([(SERVICE, service), (name, place)])
    struct.pack_into("<II", file.data, 8, len(file.data), len(root))
    for entry_name, payload in root:
        file.number(entry_name)
        file.number(payload)
    return bytes(file.data)


def _interface(file: _File, records: list[Record]) -> int:
    start = len(file.data)
    file.byte(PLAIN_INTERFACE)
    file.number(1)  # base interfaces
    file.string("com.sun.star.uno.XInterface")
    file.number(0)  # optional bases
    file.number(0)  # attributes
    file.number(len(records))
    for record in records:
        file.string(record.name)
        file.string(BINARY[result_type(record)])
        arguments = parameters(record)
        file.number(len(arguments))
        for name, kind in arguments:
            file.byte(IN)
            file.string(name)
            file.string(BINARY[kind])
        file.number(0)  # exceptions
    return start
