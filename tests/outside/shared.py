"""What is costly and the same for all workers of a run: worked out by one, read by the others."""

import fcntl
import os
import pickle
from pathlib import Path

import kit


def all_of(makers):
    """The values of `makers` (name → function). A worker works out what no other is at, and waits for the rest at the end."""
    values = {}
    for wait in (False, True):
        for name in makers.keys() - values.keys():
            one_of(name, makers[name], wait, values)
    return values


def one_of(name, maker, wait, values):
    """Reads or works out one value while no other worker may; without `wait`, passes by what another is at."""
    place = Path(os.environ[kit.FOLDER_VARIABLE]) / f"{name.replace('/', '-')}.pickle"
    with place.with_suffix(".lock").open("w") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
        except BlockingIOError:
            return
        if not place.exists():
            place.write_bytes(pickle.dumps(maker()))
        values[name] = pickle.loads(place.read_bytes())
