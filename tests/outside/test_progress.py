"""What takes longer than half a second says on a terminal what it is at, and says nothing anywhere else."""

import os
import pty
import signal
import subprocess
import time

from kit import BINARY

SIGN = "choosing the distances to check by"


def grid(folder):
    """A template of 297 marks, whose lays take longer than half a second to choose."""
    text = (
        'format = "template/1"\nname = "grid"\npurpose = "A grid of marks."\n'
        'preparation = ["Floor level"]\nclosing = ["Cleared away"]\n'
    )
    for name, value in (("along", 500), ("across", 600), ("tolerance", 8)):
        text += (
            f'[values.{name}]\nmeaning = "{name}"\ndefault = "{value} mm"\n'
            'least = "1 mm"\nmost = "9 m"\n'
        )
    for n in range(27):
        where = 'from = "front bumper"' if n == 0 else f'from = "s{n - 1}"\nbehind = "along"'
        text += f'[[stations]]\nname = "s{n}"\nmeaning = "station {n}"\n{where}\n'
    for n in range(5):
        base = "centreline" if n == 0 else f"r{n - 1}"
        text += f'[[rails]]\nname = "r{n}"\nfrom = "{base}"\noutward = "across"\n'
    stations = ", ".join(f'"s{n}"' for n in range(27))
    rails = ", ".join(f'"r{n}"' for n in range(5))
    text += (
        f'[[marks]]\nstations = [{stations}]\nrails = ["centre", {rails}]\n'
        'tolerance = "tolerance"\n'
    )
    path = folder / "grid.toml"
    path.write_text(text)
    return path


def on_terminal(arguments, folder, stop_at=None):
    """Exit code and everything that a terminal got on stderr; stopped as by Ctrl-C once `stop_at` was seen."""
    main, second = pty.openpty()
    child = subprocess.Popen(
        [str(BINARY), *arguments], cwd=folder, stdout=subprocess.DEVNULL, stderr=second
    )
    os.close(second)
    seen = b""
    while True:
        try:
            part = os.read(main, 65536)
        except OSError:
            break
        if not part:
            break
        seen += part
        if stop_at and stop_at.encode() in seen:
            child.send_signal(signal.SIGINT)
            stop_at = None
    os.close(main)
    return child.wait(timeout=60), seen.decode(errors="replace")


def test_a_long_run_says_on_a_terminal_what_it_is_at_and_a_short_one_does_not(tmp_path):
    template = str(grid(tmp_path))
    code, seen = on_terminal(["plan", "--template", template], tmp_path)
    assert code == 0 and SIGN in seen
    # The line is wiped in the end.
    assert seen.rstrip().endswith("\x1b[2K") or SIGN not in seen.rsplit("\r", 1)[-1]
    started = time.monotonic()
    code, seen = on_terminal(["plan", "--template", "target-line"], tmp_path)
    assert code == 0
    if time.monotonic() - started < 0.5:
        assert SIGN not in seen


def test_nothing_is_said_of_it_where_no_terminal_reads(tmp_path):
    template = str(grid(tmp_path))
    run = subprocess.run(
        [str(BINARY), "plan", "--template", template], cwd=tmp_path, capture_output=True, text=True
    )
    assert run.returncode == 0 and SIGN not in run.stderr + run.stdout


def test_ctrl_c_while_it_works_leaves_no_file(tmp_path):
    template = str(grid(tmp_path))
    code, seen = on_terminal(["kit", "--template", template, "-o", "k"], tmp_path, SIGN)
    assert code != 0 and SIGN in seen
    assert not (tmp_path / "k").exists()
