"""Notes what a process under watch opens, starts or connects to; loaded by the interpreter itself."""

import json
import os
import sys

LOG = os.environ.get("WATCH_LOG")
WRITING = os.O_WRONLY | os.O_RDWR | os.O_APPEND | os.O_CREAT | os.O_TRUNC
STARTED = ("subprocess.Popen", "os.system", "os.exec", "os.posix_spawn", "os.spawn", "os.startfile", "webbrowser.open")
CHANGED = (
    "os.remove",
    "os.rename",
    "os.mkdir",
    "os.rmdir",
    "os.truncate",
    "os.link",
    "os.symlink",
    "os.chmod",
    "shutil.rmtree",
)
OUTWARD = (
    "socket.connect",
    "socket.getaddrinfo",
    "socket.bind",
    "socket.sendto",
    "urllib.Request",
    "http.client.connect",
)


def note(event: str, args: tuple) -> None:
    if event == "open":
        path, mode, flags = args
        writing = (isinstance(mode, str) and any(c in mode for c in "wax+")) or flags & WRITING
        if not writing or isinstance(path, int) or str(path) in (LOG, os.devnull):
            return
        said = f"write {path}"
    elif event == "subprocess.Popen":
        said = f"start {' '.join(map(str, args[1]))}"
    elif event in STARTED or event in CHANGED or event in OUTWARD:
        said = f"{event} {args!r}"
    else:
        return
    line = json.dumps(said[:300]) + "\n"
    handle = os.open(LOG, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    os.write(handle, line.encode())
    os.close(handle)


if LOG:
    sys.addaudithook(note)
