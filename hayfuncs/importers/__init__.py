"""The user's own files: lots, herd, and what a lab or an instrument exports."""
