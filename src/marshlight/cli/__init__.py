"""The terminal: every capability of the pages, in words or as JSON."""
