"""`baystencil levels` against numpy's least squares: planes, deviations, verdicts and twists of random floors."""

import csv
import io
import json
import math

import numpy as np
import pytest
from scipy.stats import norm

import kit

# Heights are written to 1e-6 mm, and the report rounds to as much.
CLOSE = 5e-6
WHEELS = ["WFL", "WFR", "WRL", "WRR"]


def floor(seed, dx=0.0):
    """Names, places in mm (n × 2), heights in mm and the reading's standard deviation of a random floor."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(4, 40))
    places = np.round(rng.uniform([-5000, -2000], [2500, 2000], (count, 2)) + [dx, -dx], 3)
    slope = rng.normal(0, 3, 2)
    sigma = float(np.round(rng.uniform(0.1, 2), 3))
    heights = np.round(places @ slope / 1000 + rng.normal(0, sigma * rng.uniform(0.3, 3), count) + 40, 6)
    return [f"P{k}" for k in range(count)], places, heights, sigma


def judged(folder, names, places, heights, sigma, *, staff=False, table=False, code=0):
    if table:
        text = io.StringIO()
        rows = csv.writer(text, delimiter=";")
        rows.writerow(["at", "x_mm", "y_mm", "staff_mm" if staff else "height_mm"])
        for name, (x, y), height in zip(names, places, heights, strict=True):
            rows.writerow([name, *(f"{v:.6f}".replace(".", ",") for v in (x, y, -height if staff else height))])
        path = folder / "floor.csv"
        path.write_text("\ufeff" + text.getvalue(), encoding="utf-8")
    else:
        lines = ['format = "levels/1"', f'as = "{"staff" if staff else "height"}"']
        for name, (x, y), height in zip(names, places, heights, strict=True):
            value = -height if staff else height
            lines.append(f'[[level]]\nat = "{name}"\nx = {x:.3f}\ny = {y:.3f}\nheight = {value:.6f}')
        path = folder / "floor.toml"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    done = kit.run("levels", path, "--sigma", f"{sigma}mm", "--json")
    assert done.returncode == code, done.stderr
    return json.loads(done.stdout)


def plane_of(places, heights):
    """Slopes along and across in mm/m, deviations in mm, cofactors of the slopes, and hat values."""
    design = np.column_stack([np.ones(len(places)), places / 1000])
    solution, *_ = np.linalg.lstsq(design, heights, rcond=None)
    hat = np.einsum("ij,ji->i", design, np.linalg.pinv(design))
    return solution[1:], heights - design @ solution, np.linalg.inv(design.T @ design)[1:, 1:], hat


@pytest.mark.parametrize("seed", range(24))
def test_planes_are_those_of_numpy(tmp_path, seed):
    # Every third floor lies far from the origin, where a plane without centred places loses digits.
    names, places, heights, sigma = floor(seed, dx=60_000.0 if seed % 3 == 0 else 0.0)
    report = judged(tmp_path, names, places, heights, sigma, staff=seed % 2 == 1, table=seed % 4 > 1)
    slope, deviations, cofactors, hat = plane_of(places, heights)
    plane = report["plane"]
    assert [plane["along_mm_per_m"], plane["across_mm_per_m"]] == pytest.approx(slope, abs=CLOSE)
    assert plane["slope_mm_per_m"] == pytest.approx(np.hypot(*slope), abs=CLOSE)
    assert plane["slope_percent"] == pytest.approx(np.hypot(*slope) / 10, abs=CLOSE)
    assert plane["falls_towards_deg"] == pytest.approx(math.degrees(math.atan2(-slope[1], -slope[0])), abs=1e-4)
    assert [point["deviation_mm"] for point in report["points"]] == pytest.approx(deviations, abs=CLOSE)
    assert [point["redundancy"] for point in report["points"]] == pytest.approx(1 - hat, abs=CLOSE)
    assert report["largest_deviation"]["at"] == names[int(np.argmax(np.abs(deviations)))]
    assert report["lowest"] == names[int(np.argmin(heights))]
    assert report["low_corner"] == names[int(np.argmin(places @ slope))]
    sigma0 = math.sqrt(deviations @ deviations / (len(names) - 3))
    assert plane["sigma0_mm"] == pytest.approx(sigma0, abs=CLOSE)
    for key, sd in (("sd_a_priori", sigma), ("sd_a_posteriori", sigma0)):
        covariance = sd * sd * cofactors
        found = plane[key]
        assert found["along_mm_per_m"] == pytest.approx(math.sqrt(covariance[0, 0]), abs=CLOSE)
        assert found["across_mm_per_m"] == pytest.approx(math.sqrt(covariance[1, 1]), abs=CLOSE)
        if found["direction_deg"] is not None:
            along = slope / np.hypot(*slope)
            across = np.array([-along[1], along[0]])
            assert found["slope_mm_per_m"] == pytest.approx(math.sqrt(along @ covariance @ along), abs=CLOSE)
            turn = math.degrees(math.sqrt(across @ covariance @ across) / np.hypot(*slope))
            assert found["direction_deg"] == pytest.approx(turn, abs=1e-4)
    assert report["verdict"] is None


def test_slopes_scatter_as_their_deviations_say(tmp_path):
    """Of 60 floors made with the stated precision, slopes lie within two deviations about 95 times in 100."""
    rng = np.random.default_rng(7)
    _, places, _, _ = floor(3)
    names = [f"P{k}" for k in range(len(places))]
    normalised, spread = [], []
    for _ in range(60):
        heights = np.round(places @ [2.0, -1.0] / 1000 + rng.normal(0, 0.8, len(places)), 6)
        plane = judged(tmp_path, names, places, heights, 0.8)["plane"]
        normalised.append((plane["along_mm_per_m"] - 2.0) / plane["sd_a_priori"]["along_mm_per_m"])
        normalised.append((plane["across_mm_per_m"] + 1.0) / plane["sd_a_priori"]["across_mm_per_m"])
        spread.append(plane["sigma0_mm"] ** 2)
    # 120 standard normal values: the mean's deviation is 0.09, that of the standard deviation 0.065.
    assert abs(np.mean(normalised)) < 0.3
    assert 0.75 < np.std(normalised) < 1.25
    assert math.sqrt(np.mean(spread)) == pytest.approx(0.8, rel=0.1)


def job(folder, vehicle, **limits):
    lines = ['format = "job/1"', f'vehicle = "{vehicle}"', 'template = "perimeter-lines"', "[values]"]
    lines += [f'{name} = "{value} mm"' for name, value in limits.items()]
    (folder / "job.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder / "job.toml"


@pytest.mark.parametrize("seed", range(12))
def test_wheels_and_verdicts_follow_from_the_plan_and_the_normal_distribution(tmp_path, seed):
    rng = np.random.default_rng(100 + seed)
    vehicle = kit.names("vehicles")[seed % len(kit.names("vehicles"))]
    limits = {"floor_slope": round(rng.uniform(2, 6), 2), "floor_flatness": round(rng.uniform(1, 5), 2)}
    path = job(tmp_path, vehicle, **limits)
    plan = json.loads(kit.asked("plan", path, "--json"))
    assert plan["floor"]["limits"]["slope_mm_per_m"] == limits["floor_slope"]
    assert plan["floor"]["limits"]["flatness_mm"] == limits["floor_flatness"]
    size = plan["vehicle"]["dimensions_mm"]
    half = [size[key] / 2 + size["tyre_width"] / 2 for key in ("front_track", "rear_track")]
    wheels = [[0, half[0]], [0, -half[0]], [-size["wheelbase_left"], half[1]], [-size["wheelbase_right"], -half[1]]]
    marks = {mark["id"]: [mark["x_mm"], mark["y_mm"]] for mark in plan["marks"]}
    names = [*marks, *WHEELS]
    places = np.array([*marks.values(), *wheels])
    sigma = round(float(rng.uniform(0.2, 0.8)), 2)
    heights = np.round(places @ rng.normal(0, 2.5, 2) / 1000 + rng.normal(0, 1.2, len(names)), 3)
    text = "at,height_mm\n" + "".join(f"{name},{height}\n" for name, height in zip(names, heights, strict=True))
    (tmp_path / "floor.csv").write_text(text, encoding="utf-8")
    done = kit.run("levels", tmp_path / "floor.csv", "--job", path, "--sigma", sigma, "--json")
    report = json.loads(done.stdout)

    four, own = places[-4:], heights[-4:]
    # What the four heights hold beyond a plane: the null space of their design, scaled so that the weights of the
    # diagonal's two ends add up to 1.
    weights = np.linalg.svd(np.column_stack([np.ones(4), four]).T)[2][3]
    weights /= weights[0] + weights[3]
    (stance,) = report["wheels"]
    assert stance["twist_mm"] == pytest.approx(weights @ own, abs=CLOSE)
    assert stance["twist_sd_mm"] == pytest.approx(sigma * np.linalg.norm(weights), abs=CLOSE)
    for wheel, stands_out in enumerate(stance["stands_out_mm"]):
        others = [k for k in range(4) if k != wheel]
        corner = np.linalg.solve(np.column_stack([np.ones(3), four[others]]), own[others])
        assert stands_out == pytest.approx(own[wheel] - corner @ [1, *four[wheel]], abs=1e-4)

    expected = []
    for at, z, is_floor in ((places, heights, True), (four, own, False)):
        slope, deviations, cofactors, hat = plane_of(at, z)
        sigma0 = math.sqrt(deviations @ deviations / (len(z) - 3))
        covariance = cofactors * (max(sigma, sigma0) if is_floor else sigma) ** 2
        steepest = np.hypot(*slope)
        worst = math.sqrt(np.linalg.eigvalsh(covariance)[-1])
        along = slope / steepest
        sd = math.sqrt(along @ covariance @ along) if steepest > worst else worst
        expected.append((steepest, limits["floor_slope"], sd))
        farthest = int(np.argmax(np.abs(deviations)))
        # Where all are equally far, as four wheels may be, the readings' own redundancy differs by rounding alone.
        expected.append((abs(deviations[farthest]), limits["floor_flatness"], sigma * math.sqrt(1 - hat[farthest])))
    words = []
    for judgement, (value, limit, sd) in zip(report["judged"], expected, strict=True):
        assert judgement["value"] == pytest.approx(value, abs=CLOSE)
        assert judgement["limit"] == limit
        assert judgement["sd"] == pytest.approx(sd, abs=CLOSE)
        inside = norm.cdf((limit - value) / sd) - norm.cdf((-limit - value) / sd)
        words.append("inside" if inside >= 0.95 else "outside" if inside <= 0.05 else "undecided")
        assert judgement["verdict"] == words[-1]
    assert report["verdict"] == max(words, key=["inside", "undecided", "outside"].index)
    assert done.returncode == (0 if report["verdict"] == "inside" else 1)


def test_the_form_names_every_mark_and_wheel_of_the_plan(demo):
    rows = list(csv.DictReader(io.StringIO(demo.read("levels.csv"), newline="")))
    assert [row["at"] for row in rows] == [*demo.marks, *WHEELS]
    for row in rows[:-4]:
        assert (float(row["x_mm"]), float(row["y_mm"])) == pytest.approx(demo.marks[row["at"]], abs=0.051)
    assert all(row["height_mm"] == row["staff_mm"] == "" for row in rows)
