"""Starts xlwings_server.py: the real xlwings as on Windows, or as an Office.js add-in's server."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from hosts.jsonlines import Answers

SERVER = Path(__file__).with_name("xlwings_server.py")
TREE = Path(__file__).parents[2]


def start(kind: str) -> Answers:
    return Answers([sys.executable, str(SERVER), kind], os.environ | {"PYTHONPATH": str(TREE)})
