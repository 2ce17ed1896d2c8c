"""One file a sheet; `common.py` holds what they share, `build.py` above puts them in order."""
