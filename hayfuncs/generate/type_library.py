"""The LibreOffice extension's type library, written by LibreOffice's own kit where that is installed.

`python -m hayfuncs.generate.type_library` writes it alone: the interface as text (`hayfuncs.idl`) and
the library that the kit makes of it (`hayfuncs.rdb`), both shipped.  The kit is Debian's libreoffice-dev.
The same text gives the same bytes but for the kit's version, so libraries are compared by what they declare.
"""

from __future__ import annotations

import subprocess
import tempfile
from pathlib import Path

from hayfuncs.hosts.calc import typelib

HERE = Path(typelib.__file__).parent
OFFICES = ("/usr/lib/libreoffice", "/usr/lib64/libreoffice", "/opt/libreoffice")
SECONDS = 60


def office() -> Path | None:
    """The folder of an office that has the kit."""
    return next((Path(f) for f in OFFICES if Path(f, "sdk/bin/unoidl-write").exists()), None)


def _run(tool: str, folder: Path, *arguments: str) -> str:
    home = office()
    if home is None:
        raise SystemExit("LibreOffice's kit (libreoffice-dev) is not installed: unoidl-write is missing")
    types = home / "program" / "types"
    command = [str(home / "sdk" / "bin" / tool), f"{types}.rdb", str(types / "offapi.rdb"), *arguments]
    return subprocess.run(command, cwd=folder, check=True, capture_output=True, text=True, timeout=SECONDS).stdout


def made() -> bytes:
    """The library that the kit makes of the records.  The tool wants the file: of a folder it makes an empty library."""
    with tempfile.TemporaryDirectory() as name:
        Path(name, typelib.IDL).write_text(typelib.idl(), encoding="ascii")
        _run("unoidl-write", Path(name), typelib.IDL, typelib.RDB)
        return Path(name, typelib.RDB).read_bytes()


def declared(library: bytes) -> str:
    """All that a library declares, as the kit reads it."""
    with tempfile.TemporaryDirectory() as name:
        Path(name, typelib.RDB).write_bytes(library)
        return _run("unoidl-read", Path(name), typelib.RDB)


def renew(check: bool) -> list[str]:
    """Files that are not as the records make them; written anew unless only checked."""
    text, library = HERE / typelib.IDL, HERE / typelib.RDB
    stale = [] if text.exists() and text.read_text(encoding="ascii") == typelib.idl() else [text]
    if office() is None:
        if stale and not check:
            raise SystemExit(
                "the functions changed: the type library needs LibreOffice's kit (libreoffice-dev) to follow"
            )
    elif not library.exists() or declared(library.read_bytes()) != declared(made()):
        stale.append(library)
    if not check:
        if library in stale:
            library.write_bytes(made())
        if text in stale:
            text.write_text(typelib.idl(), encoding="ascii")
    return [path.name for path in stale]


if __name__ == "__main__":
    for name in renew(check=False):
        print(f"renewed: {name}")
