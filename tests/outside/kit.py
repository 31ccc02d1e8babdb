"""Kits: running the binary, and what it leaves in its folder."""

import functools
import hashlib
import json
import os
import re
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path

BINARY_VARIABLE = "BAYSTENCIL"
FOLDER_VARIABLE = "BAYSTENCIL_KITS"
ROOT = Path(__file__).resolve().parents[2]
BINARY = Path(os.environ.get(BINARY_VARIABLE, ROOT / "target" / "release" / "baystencil")).resolve()

# The contract: what `kit` leaves in its folder.
FILES = {
    "stencils.pdf", "floor.svg", "floor.dxf", "overview.pdf", "overview.svg", "overview.png", "plan.json", "sheets.json",
    "readings.csv", "levels.csv", "assembly-map.svg", "assembly-map.png", "cut.pdf", "cut-map.pdf", "steps.pdf", "job.toml", "checks.svg",
    ".baystencil.json",
}
# What is named by its load: as many as the stencil takes.
LOAD_FILE = re.compile(r"cut-\d\d\.(svg|dxf)")
PDFS = ["stencils.pdf", "overview.pdf", "steps.pdf"]


def files_in(folder):
    """The names in a kit's folder, but for those of loads, of which there is one at least."""
    names = {path.name for path in folder.iterdir()}
    loads = {name for name in names if LOAD_FILE.fullmatch(name)}
    assert bool(loads) == ("cut.pdf" in names), "loads without their pages"
    return names - loads


def run(*arguments, folder=None):
    """Runs the binary in `folder` and returns what came of it; no terminal, no colour, no clock."""
    environment = {**os.environ, "NO_COLOR": "1"}
    environment.pop("SOURCE_DATE_EPOCH", None)
    return subprocess.run(
        [str(BINARY), *map(str, arguments)], cwd=folder, env=environment, stdin=subprocess.DEVNULL,
        capture_output=True, text=True, encoding="utf-8", timeout=300, check=False,
    )


def asked(*arguments, folder=None):
    """Runs the binary, expects it to succeed, and returns its standard output."""
    done = run(*arguments, folder=folder)
    assert done.returncode == 0, f"{' '.join(map(str, arguments))}: exit {done.returncode}\n{done.stderr}"
    return done.stdout


@functools.cache
def plan(*arguments):
    """What `baystencil plan ARGUMENTS --json` says; asked once, and not to be changed."""
    return json.loads(asked("plan", *arguments, "--json"))


@functools.cache
def library():
    """What `baystencil library --json` lists: vehicles, templates, papers."""
    return json.loads(asked("library", "--json"))


def names(kind):
    """The names of the built-in vehicles, templates or papers."""
    return [entry["name"] for entry in library()[kind]]


@dataclass(frozen=True)
class Job:
    """A built-in vehicle with a built-in template on a paper size."""

    vehicle: str
    template: str
    paper: str

    @property
    def id(self):
        return "-".join(part.replace(" ", "_") for part in (self.vehicle, self.template, self.paper))

    @property
    def arguments(self):
        return ("--vehicle", self.vehicle, "--template", self.template, "--paper", self.paper)


@functools.cache
def all_jobs():
    """Every built-in vehicle with every built-in template, on A4 and on Letter."""
    return [Job(v, t, p) for v in names("vehicles") for t in names("templates") for p in ("A4", "Letter")]


class Kit:
    """The folder that one run of `baystencil kit` left."""

    def __init__(self, folder):
        self.folder = folder

    def path(self, name):
        return self.folder / name

    def read(self, name):
        return self.path(name).read_text(encoding="utf-8")

    @functools.cached_property
    def plan(self):
        return json.loads(self.read("plan.json"))

    @functools.cached_property
    def sheets(self):
        return json.loads(self.read("sheets.json"))

    @functools.cached_property
    def marks(self):
        """Mark name → (x, y) on the floor, mm."""
        return {mark["id"]: (mark["x_mm"], mark["y_mm"]) for mark in self.plan["marks"]}


@functools.cache
def made(*arguments):
    """The kit that `baystencil kit ARGUMENTS` makes; made once in a run, whoever asks."""
    shared = Path(os.environ[FOLDER_VARIABLE])
    place = shared / hashlib.sha256("\0".join(arguments).encode()).hexdigest()[:16]
    if not place.is_dir():
        waiting = Path(tempfile.mkdtemp(dir=shared))
        asked("kit", *arguments, "-o", waiting)
        try:
            waiting.rename(place)
        except OSError:
            # Another worker was faster; its kit is as good.
            assert place.is_dir()
    return Kit(place)
