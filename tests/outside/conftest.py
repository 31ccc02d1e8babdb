"""Kits made by the real binary, shared by all tests and all workers of one run."""

import os
import shutil
import tempfile

import pytest

import kit


def pytest_configure(config):
    # A worker of pytest-xdist inherits the folder from the process that started it.
    if not hasattr(config, "workerinput"):
        folder = tempfile.mkdtemp(prefix="baystencil-outside-")
        os.environ[kit.FOLDER_VARIABLE] = folder
        config.add_cleanup(lambda: shutil.rmtree(folder, ignore_errors=True))
    if not kit.BINARY.is_file():
        raise pytest.UsageError(f"{kit.BINARY} is missing: build it, or name the binary in {kit.BINARY_VARIABLE}")


def pytest_generate_tests(metafunc):
    if "any_kit" in metafunc.fixturenames:
        # Marked with its group, a kit is made and read by one worker only.
        jobs = [pytest.param(job, id=job.id, marks=pytest.mark.xdist_group(job.id)) for job in kit.all_jobs()]
        metafunc.parametrize("any_kit", jobs, indirect=True, scope="session")


@pytest.fixture(scope="session")
def any_kit(request):
    """Each built-in vehicle with each built-in template, on A4 and on Letter."""
    return kit.made(*request.param.arguments)


@pytest.fixture(scope="session")
def demo():
    """The demonstration job: what `baystencil kit` makes when it is told nothing."""
    return kit.made()


@pytest.fixture(scope="session")
def letter():
    """The demonstration job on Letter paper."""
    return kit.made("--paper", "letter")


@pytest.fixture(scope="session")
def inch():
    """The demonstration job with inches beside the millimetres."""
    return kit.made("--units", "inch")
