"""The functions in a workbook of the user's own: as LAMBDA names (`into`), or as stored answers (`answer`).

Whatever is not ours to change keeps its bytes, those of the zip around it included.
"""
