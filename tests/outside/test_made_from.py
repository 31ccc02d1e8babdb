"""What a kit says of the job that it was made from: version and hash, in all files that a program reads."""

import json
import re
import shutil

import kit

VEHICLE = (kit.ROOT / "vehicle-specs" / "city-car.toml").read_text(encoding="utf-8")
JOB = ("--template", "target-line", "--mode", "keys")


def hashed(made):
    """The hash in the first line of the kit's job, which plan and sheets repeat."""
    first = made.read("job.toml").splitlines()[0]
    digits = re.fullmatch(r"# .* ([0-9a-f]{16})", first)[1]
    program = kit.asked("--version").split()[1]
    for data in (made.plan, made.sheets):
        assert data["version"] == program and data["input"] == digits
    return digits


def kit_of(folder, name, *arguments):
    kit.asked("kit", *arguments, "-o", name, folder=folder)
    return kit.Kit(folder / name)


def test_the_format_of_the_sheets_is_the_second(demo):
    assert demo.sheets["format"] == "sheets/2" and demo.plan["format"] == "plan/1"
    assert [sheet["label"] for sheet in demo.sheets["sheets"]] == [str(n + 1) for n in range(demo.sheets["count"])]


def test_the_same_job_has_the_same_hash_and_another_has_another(tmp_path):
    one = hashed(kit_of(tmp_path, "one", *JOB))
    assert one == hashed(kit_of(tmp_path, "same", *JOB)) == hashed(kit_of(tmp_path, "again", "one"))
    others = [("--set", "target_distance=2m"), ("--vehicle", "estate"), ("--units", "inch"), ("--kerf", "0.1mm")]
    hashes = [hashed(kit_of(tmp_path, f"other-{n}", *JOB, *flags)) for n, flags in enumerate(others)]
    assert len({one, *hashes}) == 1 + len(others)
    printed = json.loads(kit.asked("plan", *JOB, "--json", folder=tmp_path))
    assert printed["input"] == one


def test_the_hash_stands_for_the_users_own_files_too(tmp_path):
    (tmp_path / "v.toml").write_text(VEHICLE, encoding="utf-8")
    first = hashed(kit_of(tmp_path, "first", "--vehicle", "v.toml", *JOB))
    # Made again from the kit alone, without the file that it came from.
    shutil.move(tmp_path / "first", tmp_path / "moved")
    (tmp_path / "v.toml").unlink()
    assert hashed(kit_of(tmp_path, "again", "moved")) == first
    (tmp_path / "v.toml").write_text(VEHICLE.replace("# ", "#  ", 1) + "\n# measured again\n", encoding="utf-8")
    assert hashed(kit_of(tmp_path, "second", "--vehicle", "v.toml", *JOB)) != first
