"""First file of the extension that the office runs: says plainly what is missing, or loads the functions."""

import os
import sys

OLDEST_PYTHON = (3, 10)
HERE = os.path.dirname(os.path.abspath(__file__))

if sys.version_info < OLDEST_PYTHON:
    raise ImportError(
        "hayfuncs needs Python 3.10 or later inside the office, and this office runs Python {}.{}; "
        "use a newer LibreOffice, or the plain edition of the workbook.".format(*sys.version_info[:2])
    )
try:
    import numpy  # noqa: F401  # only whether it is there
except ImportError:
    where = f"Python {sys.version_info[0]}.{sys.version_info[1]} under {sys.prefix}"
    raise ImportError(
        f"hayfuncs needs numpy inside the office's own Python ({where}); its install notes give the command "
        "that adds it; or use the plain edition of the workbook."
    ) from None

# another copy of the package on this machine may be older than the one inside the extension
sys.path.insert(0, os.path.join(HERE, "pythonpath"))
try:
    from hayfuncs.hosts.calc.component import implementations
finally:
    sys.path.pop(0)

g_ImplementationHelper = implementations()
