"""Energy and quality of hay."""
