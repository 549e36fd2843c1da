"""marshlight: plan, log, understand and compare small biogas digesters.

The rooms, from the bottom up: ``matter`` (what goes in and comes out), ``apparatus`` (what people
build), ``process`` (how digestion goes), ``measure`` (what was really observed), ``decide``
(plan, watch, safety), then the notebook, the answers, the pages and the terminal.
"""

__version__ = "0.1.0"
