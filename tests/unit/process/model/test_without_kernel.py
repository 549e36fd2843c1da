"""Where no compiler was found, everything but the process model still opens."""

import subprocess
import sys

from marshlight.process.model.kernel import layout
from marshlight.process.model.result import GASES

HIDDEN = """
import importlib.util
found = importlib.util.find_spec
def without(name, package=None):
    return None if name.endswith("_kernel") else found(name, package)
importlib.util.find_spec = without
import os
os.environ["DJANGO_SETTINGS_MODULE"] = "marshlight.server.settings"
import django
django.setup()
import marshlight.cli.commands
import marshlight.server.urls
from marshlight.process.model import KernelMissing, inoculum
try:
    inoculum("digested cattle manure", 0.001)
except KernelMissing as missing:
    print("C compiler" in str(missing))
"""


def test_pages_and_commands_open_without_the_compiled_model() -> None:
    told = subprocess.run(
        [sys.executable, "-c", HIDDEN], capture_output=True, text=True, check=True, timeout=120
    )
    assert told.stdout.strip() == "True"


def test_the_list_of_gases_is_the_models() -> None:
    assert layout("small").gases == GASES
