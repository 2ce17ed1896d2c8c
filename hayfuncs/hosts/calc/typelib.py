"""The extension's interface: as UNO IDL text, and as the type library Calc reads.

Calc asks the type library for a function's number and kinds of arguments.  LibreOffice's kit
makes it of the text (`generate/type_library.py`), and it is shipped, so that nobody needs the kit.
"""

from __future__ import annotations

from importlib.resources import files

from hayfuncs.contract.catalogue import CATALOGUE, Block, Record
from hayfuncs.hosts.wizard import REST

MODULES = ("org", "hayfuncs")
INTERFACE = "XHayFunctions"
SERVICE = "HAY"  # plain, so that a method's full name is HAY.NAME, the form an xlsx import binds
CELLS = "sequence< sequence< any > >"
IDL, RDB = "hayfuncs.idl", "hayfuncs.rdb"


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


def idl() -> str:
    """The interface in UNO IDL."""
    lines = [f"module {name} {{" for name in MODULES]
    lines.append(f"interface {INTERFACE} : com::sun::star::uno::XInterface {{")
    for record in CATALOGUE.values():
        arguments = ", ".join(f"[in] {kind} {name}" for name, kind in parameters(record))
        lines.append(f"  {result_type(record)} {record.name}({arguments});")
    lines += ["};", *("};" for _ in MODULES)]
    lines.append(f"service {SERVICE} : {'::'.join((*MODULES, INTERFACE))};")
    return "\n".join(lines) + "\n"


def type_library() -> bytes:
    """The library that LibreOffice's kit made of `idl()`, as shipped."""
    return files("hayfuncs.hosts.calc").joinpath(RDB).read_bytes()
