"""The notebook: what was set up, charged, read and done, kept for good.

Records of what happened (events and readings) never change; a correction is a new version
that points to the old one.  Import the parts you need: ``recording`` to write, ``history`` to
look back, ``importing`` and ``archive`` for files, ``bridge`` for engine objects.
"""
