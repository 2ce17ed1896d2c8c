"""The verbs of the command line, one file each, found by name.

A file here has `register(app)`, which adds its command to the typer application.
"""
