"""The lab sheet: is it plausible, how much of the protein is available."""
