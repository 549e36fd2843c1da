"""Builds the compiled process model: its C is written from the symbolic definition first.

Everything else about the package is in pyproject.toml. The library is plain C opened with ctypes:
a build needs a C compiler and no Python headers; a wheel needs no compiler where it is installed
and serves every Python. Where no compiler is found the rest of marshlight installs all the same.
"""

import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from setuptools import Extension, setup
from setuptools.command.bdist_wheel import bdist_wheel
from setuptools.command.build_ext import build_ext

MODEL = Path("src/marshlight/process/model")
C = MODEL / "csrc"


class BuildKernel(build_ext):
    """Write the generated headers, then compile, one source on each core."""

    def build_extension(self, ext):
        """Generate beside the object files, never in the source tree."""
        target = Path(self.build_temp) / "generated"
        target.mkdir(parents=True, exist_ok=True)
        generate(target)
        options = []
        if self.compiler.compiler_type == "unix":
            options = ["-O3", "-g0", "-std=gnu11", "-fcx-limited-range", "-ffp-contract=fast"]
            options += ["-fno-math-errno", "-fno-trapping-math", "-Wno-unused-function"]
            # Straight-line code is too long to be gathered into vectors with profit; loops are not.
            options += ["-fno-tree-slp-vectorize"]

        def compiled(source):
            made = self.compiler.compile(
                [source],
                output_dir=self.build_temp,
                include_dirs=[*ext.include_dirs, str(target)],
                extra_postargs=options,
                depends=ext.depends,
            )
            return made[0]

        with ThreadPoolExecutor() as pool:
            ext.extra_objects = list(pool.map(compiled, ext.sources))
        ext.sources = []
        super().build_extension(ext)


def generate(target):
    """Write the kernel's C from the symbolic definition."""
    # By path, not as marshlight.process.model: a build has no numpy.
    sys.path.insert(0, str(MODEL.resolve()))
    try:
        import definition
    finally:
        sys.path.pop(0)
    models = [definition.assemble(v) for v in (definition.BENCHMARK, definition.SMALL)]
    for model in models:
        text = definition.emit_source(model)
        (target / f"generated_{model.variant.name}.h").write_text(text)
    tables = "#pragma once\n" + "".join(definition.emit_tables(model) for model in models)
    (target / "tables.h").write_text(tables)


class AnyPython(bdist_wheel):
    """The wheel holds machine code, but nothing of one Python's interface."""

    def get_tag(self):
        """Name any Python 3, no interface, this platform."""
        return "py3", "none", super().get_tag()[2]


setup(
    ext_modules=[
        Extension(
            "marshlight.process.model._kernel",
            sources=[
                (C / name).as_posix() for name in ("library.c", "plain.c", "fast.c", "tangent.c")
            ],
            depends=[p.as_posix() for p in sorted(C.glob("*.h"))]
            + [p.as_posix() for p in sorted((MODEL / "definition").glob("*.py"))],
            include_dirs=[C.as_posix()],
            py_limited_api=True,
            optional=True,
        )
    ],
    cmdclass={"build_ext": BuildKernel, "bdist_wheel": AnyPython},
)
