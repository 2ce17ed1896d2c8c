"""What `--remove` needs to give a file back byte for byte, kept as a comment at the end of xl/workbook.xml.

A spreadsheet program that saves the file drops the comment, and with it the bytes that it was about.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import re
import zlib
from collections.abc import Iterable

from hayfuncs.hosts.own_workbook.xml_places import Part
from hayfuncs.hosts.own_workbook.zip_records import Zip
from hayfuncs.spreadsheet import limits

WORDS = "hayfuncs keeps here what gives the file back as it was: "
COMMENT = re.compile(rb"<!--" + WORDS.encode() + rb"([A-Za-z0-9+/=]+)-->")


def comment(before: Zip, changed: Iterable[str], added: Iterable[str]) -> str:
    """The comment: original records of the changed parts, the original list, and a check on the whole."""
    told = {
        "sha256": hashlib.sha256(before.data).hexdigest(),
        "records": {name: _text(before.raw(name)) for name in changed},
        "added": sorted(added),
        "tail": _text(before.tail),
    }
    return f"<!--{WORDS}{_text(zlib.compress(json.dumps(told).encode(), 9))}-->"


def original(now: Zip) -> bytes | None:
    """The file as it was before; None where nothing was kept, or the file has been saved anew since."""
    found = COMMENT.search(Part(now.main, now.main_name).data)
    if found is None:
        return None
    try:
        unpack = zlib.decompressobj()
        told = json.loads(unpack.decompress(base64.b64decode(found.group(1)), limits.SMALL_PART))
        records = {name: base64.b64decode(text) for name, text in told["records"].items()}
        before = now.restored(records, set(told["added"]), base64.b64decode(told["tail"]))
    except (ValueError, KeyError, TypeError, AttributeError, binascii.Error, zlib.error):
        return None
    return before if hashlib.sha256(before).hexdigest() == told["sha256"] else None


def _text(data: bytes) -> str:
    return base64.b64encode(data).decode()
