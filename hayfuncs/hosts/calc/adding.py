"""Adding the extension to LibreOffice and taking it out again, by the office's own tool `unopkg`.

The office's Python takes its place from the first `python3` on PATH.  Where an activated
environment puts another Python first, the tool dies without a sensible word, so it runs here
with a PATH of the system's own folders.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

from hayfuncs.contract.files import UserError
from hayfuncs.hosts.calc.descriptions import IDENTIFIER

WAIT = 300  # seconds for the tool
OF_AN_ENVIRONMENT = ("PYTHON", "VIRTUAL_ENV", "CONDA", "PYENV", "_CONDA")
TOOL = "unopkg"
# where installers put the tool; a package manager puts it on PATH
USUAL_PLACES = (
    "/usr/bin",
    "/usr/local/bin",
    "/usr/lib/libreoffice/program",
    "/Applications/LibreOffice.app/Contents/MacOS",
    r"C:\Program Files\LibreOffice\program",
    r"C:\Program Files (x86)\LibreOffice\program",
)
SYSTEM_FOLDERS = ("/usr/bin", "/bin", "/usr/sbin", "/sbin")


def clean_environment(given: Mapping[str, str]) -> dict[str, str]:
    """The surroundings in which the office finds its own Python: no environment's variables, the system's PATH."""
    kept = {name: value for name, value in given.items() if not name.upper().startswith(OF_AN_ENVIRONMENT)}
    if sys.platform == "win32":
        root = given.get("SYSTEMROOT", r"C:\Windows")
        folders = [rf"{root}\System32", root]
    else:
        folders = list(SYSTEM_FOLDERS)
    return kept | {"PATH": os.pathsep.join(folders)}


def find_tool() -> str:
    """The office's tool: on PATH, or where installers put it."""
    found = shutil.which(TOOL) or shutil.which(TOOL, path=os.pathsep.join(USUAL_PLACES))
    if found is None:
        raise UserError(
            f"LibreOffice's tool {TOOL} is not found on this machine; in LibreOffice choose Tools, Extension Manager, Add, "
            "and the file; or install LibreOffice first"
        )
    return found


def places(profile: Path | None) -> list[str]:
    """Options that name the office's profile; for all users where root asks, since root's own is refused."""
    options = ["--shared"] if for_all_users() else []
    if profile is not None:
        folder = profile.resolve()
        (folder / "for-all").mkdir(parents=True, exist_ok=True)
        options += [
            f"-env:UserInstallation={folder.as_uri()}",
            f"-env:UNO_SHARED_PACKAGES_CACHE={(folder / 'for-all').as_uri()}",
        ]
    return options


def for_all_users() -> bool:
    return hasattr(os, "getuid") and os.getuid() == 0


def add(extension: Path, profile: Path | None = None) -> list[str]:
    """Add the extension, or put it in place of an older one; gives what was done, in lines."""
    command, text = _run(["add", "-f", *places(profile), str(extension)])
    if text is not None:
        raise UserError(f"LibreOffice did not take the extension: {_said(text)}")
    return [
        f"Ran: {command}",
        f"The extension is added for {_whom(profile)}.  Start LibreOffice anew; =HAY.DRY_WEIGHT(2000;87) must show 1740.",
    ]


def remove(profile: Path | None = None) -> list[str]:
    """Take the extension out; gives what was done, in lines."""
    command, text = _run(["remove", *places(profile), IDENTIFIER])
    if text is not None:
        if "no such extension" in text:
            raise UserError(f"LibreOffice has no hayfuncs extension for {_whom(profile)}; there is nothing to remove")
        raise UserError(f"LibreOffice did not let go of the extension: {_said(text)}")
    return [f"Ran: {command}", f"The extension is removed for {_whom(profile)}.  Start LibreOffice anew."]


def _whom(profile: Path | None) -> str:
    if profile is not None:
        return f"the profile {profile}"
    return "all users of this machine" if for_all_users() else "you"


def _run(arguments: list[str]) -> tuple[str, str | None]:
    """The command as it was run, and what the tool said where it failed."""
    tool = find_tool()
    clean = clean_environment(os.environ)
    try:
        done = subprocess.run([tool, *arguments], capture_output=True, text=True, timeout=WAIT, env=clean, input="")
    except subprocess.TimeoutExpired:
        raise UserError(
            f"{TOOL} gave no answer in {WAIT} seconds; close LibreOffice, with its quickstarter, and try again"
        ) from None
    shown = f"PATH={clean['PATH']} {TOOL} {' '.join(arguments)}"
    return shown, done.stdout + done.stderr if done.returncode else None


def _said(text: str) -> str:
    """The one line of the tool's output that a person can use."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    ours = [line[line.index("hayfuncs needs") :] for line in lines if "hayfuncs needs" in line]
    errors = [line for line in lines if line.startswith("ERROR:") and "unopkg failed" not in line]
    return (ours or errors or lines or ["the tool ended without a word"])[0]
