"""Workbooks that are not ours: what each cell is, by the words round it, and what is wrong with it by the trade."""
