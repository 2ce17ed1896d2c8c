"""The LibreOffice Calc extension, made whole from the records.

`build.extension()` gives the bytes of the `.oxt`: type library (`typelib`), descriptions for
the function wizard (`descriptions`), the component (`loader`, `component`) and this package.
"""
