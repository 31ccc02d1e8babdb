"""Broken input: refused with its place, all faults at once, and nothing written."""

import re
import shutil

import pytest

import kit

VEHICLE = (kit.ROOT / "vehicle-specs" / "compact-hatchback.toml").read_text(encoding="utf-8")
TEMPLATE = (kit.ROOT / "templates" / "perimeter-lines.toml").read_text(encoding="utf-8")


@pytest.fixture
def bay(tmp_path):
    return tmp_path


def write(folder, name, text):
    (folder / name).write_text(text, encoding="utf-8")
    return name


def place_of(text, needle, name):
    """file:line:column of a piece of a text, counted from 1."""
    start = text.index(needle)
    return f"{name}:{text.count(chr(10), 0, start) + 1}:{start - text.rfind(chr(10), 0, start)}"


def refused(folder, *arguments):
    """Runs `kit`, expects exit 3 and no output folder, and returns the message."""
    done = kit.run("kit", *arguments, "-o", "out", folder=folder)
    assert done.returncode == 3, (done.returncode, done.stdout, done.stderr)
    assert not (folder / "out").exists(), "something was written"
    assert "panicked" not in done.stderr
    return done.stderr


def with_vehicle(folder, text):
    return refused(folder, "--vehicle", write(folder, "v.toml", text))


def with_template(folder, text):
    return refused(folder, "--template", write(folder, "t.toml", text))


def replaced(text, old, new):
    assert old in text, f"the built-in file no longer holds {old}"
    return text.replace(old, new, 1)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("wheelbase", '"2 mm"'), ("wheelbase", "0"), ("wheelbase", "nan"), ("wheelbase", "inf"), ("wheelbase", "-inf"),
        ("front_overhang", '"-870 mm"'), ("rear_track", '"1535 parsecs"'), ("front_track", '""'), ("tyre", '"205-55"'),
        ("overall_width", "true"), ("width_over_mirrors", "1e400"), ("rear_overhang", '"1/0 in"'),
    ],
)
def test_an_impossible_dimension_is_refused_at_its_place(bay, key, value):
    text = re.sub(rf"(?m)^{key} = .*$", f"{key} = {value}", VEHICLE)
    assert text != VEHICLE
    message = with_vehicle(bay, text)
    line, _ = place_of(text, f"{key} = ", "v.toml").rsplit(":", 1)
    assert f"{line}:{len(key) + 4}" in message, message


def test_a_missing_and_an_unknown_key_are_told_by_name(bay):
    text = replaced(VEHICLE, "front_track", "front_tarck")
    message = with_vehicle(bay, text)
    assert place_of(text, "front_tarck", "v.toml") in message
    assert "did you mean `front_track`" in message and "`front_track` is missing" in message


def test_a_track_wider_than_the_body_is_refused_where_it_stands(bay):
    text = replaced(VEHICLE, '"1540 mm"', '"1940 mm"')
    assert place_of(text, '"1940 mm"', "v.toml") in with_vehicle(bay, text)


def test_broken_toml_is_told_with_its_line(bay):
    text = replaced(VEHICLE, 'wheelbase = "2620 mm"', 'wheelbase = "2620 mm')
    assert place_of(text, "wheelbase", "v.toml").rsplit(":", 1)[0] in with_vehicle(bay, text)


def test_several_faults_come_in_one_list(bay):
    text = replaced(VEHICLE, '"2620 mm"', '"2 mm"')
    text = replaced(text, '"870 mm"', "nan")
    text = replaced(text, '"790 mm"', '"-790 mm"')
    message = with_vehicle(bay, text)
    for needle in ('"2 mm"', "nan", '"-790 mm"'):
        assert place_of(text, needle, "v.toml") in message, message


def test_another_version_of_a_format_is_refused_by_name(bay):
    assert "vehicle/9" in with_vehicle(bay, replaced(VEHICLE, "vehicle/1", "vehicle/9"))
    assert "template/9" in with_template(bay, replaced(TEMPLATE, "template/1", "template/9"))


def test_stations_that_hang_on_each_other_are_refused(bay):
    text = replaced(TEMPLATE, 'from = "front bumper"\nahead', 'from = "rear_end"\nahead')
    text = replaced(text, 'from = "rear bumper"', 'from = "front_end"')
    message = with_template(bay, text)
    assert re.search(r"t\.toml:\d+:\d+: ", message) and "circle" in message and "front_end" in message


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('ahead = "front_gap"', 'ahead = "front_gpa"', "front_gap"),
        ('from = "rear bumper"', 'from = "rear bumber"', "rear bumper"),
        ('rails = ["centre", "side"]', 'rails = ["centre", "sied"]', "sied"),
        ('to = "rear_end/side"', 'to = "rear_edn/side"', "rear_edn"),
        ('sides = "both"', 'sides = "all"', "both"),
        ('from = "tyre outer face"', 'from = "tip"', "circle"),
        ('width = "strip"', 'width = "0 mm"', "0"),
        ('width = "strip"', 'width = "-50 mm"', "50"),
        ('tolerance = "tolerance"', "tolerance = nan", "NaN"),
        ('least = "200 mm"', 'least = "900 mm"', "default"),
    ],
)
def test_a_broken_relation_is_refused_at_its_place(bay, old, new, told):
    message = with_template(bay, replaced(TEMPLATE, old, new))
    assert re.search(r"t\.toml:\d+:\d+: ", message), message
    assert told in message, message


@pytest.mark.parametrize("outward", ['"-3 m"', '"-5 m"'])
def test_rails_that_change_sides_are_refused(bay, outward):
    text = replaced(TEMPLATE, 'outward = "side_gap"', f"outward = {outward}")
    message = with_template(bay, text)
    assert re.search(r"t\.toml:\d+:\d+: ", message), message


@pytest.mark.parametrize(
    "setting",
    ["side_gpa=420mm", "side_gap=420 parsecs", "side_gap=nan", "side_gap=-420mm", "side_gap=90 m", "side_gap"],
)
def test_a_setting_that_makes_no_sense_is_refused_by_its_flag(bay, setting):
    done = kit.run("kit", "--set", setting, "-o", "out", folder=bay)
    assert done.returncode in (2, 3) and "side_g" in done.stderr and "panicked" not in done.stderr
    assert not (bay / "out").exists()


@pytest.mark.parametrize(
    ("flag", "name"), [("--vehicle", "compact-hachback"), ("--template", "perimeter-line"), ("--paper", "A44")]
)
def test_an_unknown_name_is_refused_with_the_known_ones(bay, flag, name):
    message = refused(bay, flag, name)
    kinds = {"--vehicle": "vehicles", "--template": "templates", "--paper": "papers"}
    assert any(known.lower() in message.lower() for known in kit.names(kinds[flag])), message


def test_a_job_file_is_read_and_its_faults_have_places(bay):
    good = 'format = "job/1"\nvehicle = "estate"\ntemplate = "target-line"\npaper = "letter"\n'
    write(bay, "good.toml", good)
    kit.asked("kit", "good.toml", "-o", "out", folder=bay)
    assert kit.FILES <= {path.name for path in (bay / "out").iterdir()}
    shutil.rmtree(bay / "out")
    bad = good.replace('"letter"', "7").replace("template =", "tamplate =")
    write(bay, "bad.toml", bad)
    message = refused(bay, "bad.toml")
    assert place_of(bad, "7", "bad.toml") in message and place_of(bad, "tamplate", "bad.toml") in message


def test_files_of_job_vehicle_and_template_are_told_apart(bay):
    write(bay, "v.toml", VEHICLE)
    assert "template/1" in refused(bay, "--template", "v.toml")
    assert "job/1" in refused(bay, "v.toml")


def test_a_file_that_is_not_there_is_named(bay):
    assert "nowhere.toml" in refused(bay, "nowhere.toml")
    (bay / "binary.toml").write_bytes(b"\xff\xfe\x00wheelbase")
    assert "binary.toml" in refused(bay, "--vehicle", "binary.toml")


def test_files_that_were_there_stay_when_the_input_is_refused(bay):
    folder = bay / "kit"
    folder.mkdir()
    for name in ("stencils.pdf", "notes.txt"):
        write(folder, name, "mine")
    write(bay, "v.toml", replaced(VEHICLE, '"2620 mm"', '"2 mm"'))
    assert kit.run("kit", "--vehicle", "v.toml", "-o", "kit", folder=bay).returncode == 3
    assert {path.name: path.read_text() for path in folder.iterdir()} == {"stencils.pdf": "mine", "notes.txt": "mine"}


def test_other_files_in_the_folder_stay_when_a_kit_is_made(bay):
    folder = bay / "kit"
    folder.mkdir()
    write(folder, "notes.txt", "mine")
    kit.asked("kit", "--template", "target-line", "-o", "kit", folder=bay)
    assert kit.FILES | {"notes.txt"} <= {path.name for path in folder.iterdir()}
    assert (folder / "notes.txt").read_text() == "mine"


def test_a_file_in_the_place_of_the_folder_is_not_touched(bay):
    write(bay, "kit", "mine")
    done = kit.run("kit", "--template", "target-line", "-o", "kit", folder=bay)
    assert done.returncode == 3 and "kit" in done.stderr
    assert (bay / "kit").read_text() == "mine"


# The rails reach 2.5 m outside the tyres, the end lines 4 m beyond the bumpers: some 40 m of wide tape strip on sheets
# that advance by little more than 0.1 m each.
MANY_SHEETS = (
    "format = \"job/1\"\nvehicle = \"delivery-van\"\ntemplate = \"perimeter-lines\"\n"
    "[paper]\nwidth = \"148 mm\"\nheight = \"150 mm\"\n"
    "[values]\nfront_gap = \"4 m\"\nrear_gap = \"4 m\"\nside_gap = \"2500 mm\"\nstrip = \"150 mm\"\n"
)


def test_more_than_400_sheets_are_made_only_when_confirmed(bay):
    write(bay, "many.toml", MANY_SHEETS)
    message = refused(bay, "many.toml")
    assert "--yes" in message and re.search(r"\d{3,} sheets", message), message


@pytest.mark.parametrize(
    "arguments",
    [("kit", "--no-such-flag"), ("no-such-command",), ("kit", "one.toml", "two.toml"), ("kit", "--vehicle"), ()],
)
def test_a_command_that_is_not_understood_exits_2(bay, arguments):
    done = kit.run(*arguments, folder=bay)
    assert done.returncode == 2 and done.stderr and not done.stdout
    assert not list(bay.iterdir())
