"""The process model written once, as symbols: everything else is derived from it.

Imported when the kernel is built, by the tests and by the documentation; never by a run. It
needs nothing but the standard library, so that a build needs nothing but a compiler.
"""

from .assemble import Model, assemble
from .emit import emit_python, emit_source, emit_tables
from .variant import BENCHMARK, SMALL, Variant

__all__ = [
    "BENCHMARK",
    "SMALL",
    "Model",
    "Variant",
    "assemble",
    "emit_python",
    "emit_source",
    "emit_tables",
]
