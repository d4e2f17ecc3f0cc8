"""The one-way arrows between the parts, read off the imports."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import lapwright

ROOT = Path(lapwright.__file__).parent
OUTSIDE = {"typer", "rich", "typst", "jinja2", "lapwright_cli", "click"}

# What each part may import of lapwright, beside itself.
BASE = {"measure", "errors"}
ALLOWED = {
    "measure": set(),
    "errors": set(),
    "catalogue": set(),
    "schemas": set(),
    "job": BASE | {"catalogue", "cutting"},
    "cutting": {"errors"},
    "joint": {"errors", "cutting"},
    "takeoff": BASE | {"job"},
    "seams": BASE | {"job", "takeoff"},
    "plan": BASE | {"job"},
    "record": BASE | {"job", "plan"},
    "check": BASE | {"job", "schemas"},
    "notches": BASE | {"takeoff", "plan"},
    "siding": BASE | {"job", "takeoff", "seams", "plan", "notches"},
    "coursing": BASE | {"job", "takeoff", "siding", "plan"},
    "sight": BASE | {"job", "joint", "takeoff", "siding"},
    "finding": BASE | {"job", "takeoff", "seams", "siding", "plan", "coursing"},
    "trimwork": BASE | {"job", "takeoff", "plan"},
    "ways": BASE | {"job", "cutting", "joint", "takeoff", "seams", "sight"},
    "joined": BASE | {"job", "cutting", "joint", "takeoff", "seams", "sight", "ways"},
    "hard": BASE | {"job", "cutting", "seams", "siding", "joined"},
    "bars": BASE | {"job", "cutting", "joint", "plan"},
    "planning": BASE
    | {"job", "cutting", "joint", "takeoff", "seams", "plan", "siding", "finding", "trimwork"}
    | {"joined", "hard", "bars", "check", "record", "sight"},
    "front": BASE
    | {"job", "cutting", "joint", "takeoff", "seams", "siding", "ways", "bars", "planning"},
    "variant": BASE | {"job", "bars", "finding", "plan", "planning"},
}
MODULES = sorted(ROOT.rglob("*.py"))


def imports(path: Path) -> set[str]:
    """List what a module imports, wherever the import stands."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
    return found


def part_of(path: Path) -> str:
    """Name the part that a module belongs to."""
    return path.relative_to(ROOT).parts[0].removesuffix(".py")


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_a_module_imports_only_what_stands_below_it(path: Path) -> None:
    """No import goes against the arrows of the map in DEVELOPERS.md."""
    part = part_of(path)
    if part == "__init__":
        assert not imports(path)
        return
    for name in imports(path):
        top = name.split(".")[0]
        assert top not in OUTSIDE, f"{path} imports {name}"
        if top == "lapwright" and name != "lapwright":
            other = name.split(".")[1]
            assert other == part or other in ALLOWED[part], f"{path} imports {name}"


@pytest.mark.parametrize(
    ("library", "module"), [("highspy", "cutting/master.py"), ("ruamel", "job/document.py")]
)
def test_one_module_knows_a_library(library: str, module: str) -> None:
    """Each outside engine is imported by one module only."""
    users = {
        str(path.relative_to(ROOT))
        for path in MODULES
        if any(name.split(".")[0] == library for name in imports(path))
    }
    assert users == {module}


def test_only_the_job_reads_files() -> None:
    """Opening files is the business of the job alone."""
    readers = {"read_bytes", "read_text", "open", "write_text", "write_bytes"}
    for path in MODULES:
        if part_of(path) in ("job", "catalogue", "schemas"):
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call):
                name = getattr(node.func, "attr", getattr(node.func, "id", ""))
                if name in readers and "files(" in ast.unparse(node):
                    continue  # the package's own data
                assert name not in readers, f"{path}:{node.lineno} calls {name}"
                assert name != "print", f"{path}:{node.lineno} prints"
