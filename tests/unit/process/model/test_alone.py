import subprocess
import sys
import tomllib
from pathlib import Path

PROJECT = tomllib.loads((Path(__file__).parents[4] / "pyproject.toml").read_text("utf-8"))[
    "project"
]
# Names under which the extras' packages are imported, where they differ from those on the shelf.
IMPORTED = {
    "django-axes": "axes",
    "django-csp": "csp",
    "argon2-cffi": "argon2",
    "python-calamine": "python_calamine",
}
RUN = """
import sys
refused = set(sys.argv[1:])

class Refuse:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in refused:
            raise ModuleNotFoundError(name)

sys.meta_path.insert(0, Refuse())
from marshlight.matter import find
from marshlight.process.model import (
    SMALL_DIGESTER, Digester, Holder, ensemble, inoculum, liquid_from_feedstock, simulate,
)
import numpy as np

drum = Digester(0.012, Holder("floating", capacity_m3=0.05, gauge_kpa=0.2), 36.0)
charge = inoculum("digested cattle manure", 0.005) + liquid_from_feedstock(find("goat manure"), 0.3)
assert simulate(drum, charge, days=range(31)).methane_m3[-1] > 0.0
draws = SMALL_DIGESTER.draw(np.random.default_rng(1), 8)
assert not ensemble(drum, charge, days=[0, 30], draws=draws, watch=["pH"]).failed
assert not refused & {name.partition(".")[0] for name in sys.modules}
"""


def test_the_model_runs_with_nothing_but_what_the_engine_asks_for():
    wanted = {line.split(">")[0] for line in PROJECT["dependencies"]}
    extra = {
        line.split(";")[0].split(">")[0].split("=")[0].split("[")[0].strip()
        for lines in PROJECT["optional-dependencies"].values()
        for line in lines
    } - wanted
    refused = sorted({IMPORTED.get(name, name.replace("-", "_")) for name in extra})
    assert {"django", "typer", "rich", "openpyxl"} <= set(refused)
    done = subprocess.run(
        [sys.executable, "-c", RUN, *refused], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
