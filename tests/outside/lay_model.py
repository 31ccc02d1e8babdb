"""A layout, how it was laid and the lays that check it, as one normal distribution: worked out from plan.json alone with numpy.

The unknowns are causes, each independent of the others, in mm: five that all marks share (the centreline plumbed at
the front and at the rear, the origin plumbed and read, the tape that stations were read from), two that each mark has by itself, two of
each plumbed wheel mark, zero and scale of the checking tape. A mark's place is a sum of some of them.
"""

import math

import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq

# The precision of a job that says nothing: reading, plumb bob, centreline, mark width, joint, right angle and printer in mm or
# mm per metre; MI-008, class II.
READING, PLUMB, CENTRELINE, JOINT = 0.5, 1.0, 0.5, 0.3
MARKING = 1.0 / 2 / math.sqrt(3)
PERPENDICULAR, PRINTER, PAPER = 1.0, 2.9, 0.6
TAPE_ZERO, TAPE_SCALE = 0.3 / math.sqrt(3), 0.2 / math.sqrt(3)
LEAST_LAYING = 1.8

# One end of a taped length; a mark seen beside a string.
AT_MARK = math.hypot(READING, MARKING)
INLINE = math.hypot(CENTRELINE, MARKING)
# Taped square from a string: both ends of the tape read, the mark, the string.
OFFSET = math.hypot(READING, READING, MARKING, CENTRELINE)

WHEELS = ("WFL", "WFR", "WRL", "WRR")


def own_sd(check):
    """What a reading has by itself, without the zero that it shares with its lay."""
    if check["kind"] == "inline":
        return INLINE if on_string(check) else OFFSET
    return AT_MARK


def on_string(check):
    """A mark on the string is seen, one beside it taped."""
    return abs(check["distance_mm"]) < 1.0


def tape_sd(length):
    """A class II tape: 0.3 + 0.2 L, L in whole metres rounded up, rectangular; with the length's sign."""
    if abs(length) < 1e-6:
        return 0.0
    return math.copysign((0.3 + 0.2 * math.ceil(abs(length) / 1000 - 1e-9)) / math.sqrt(3), length)


class Floor:
    """The plan of one vehicle, laid by sheets placed by tape, and its lays."""

    def __init__(self, plan, sheets):
        self.plan = plan
        self.ids = [mark["id"] for mark in plan["marks"]]
        self.places = np.array([[mark["x_mm"], mark["y_mm"]] for mark in plan["marks"]])
        self.tolerances = np.array([mark["tolerance_mm"] for mark in plan["marks"]])
        dimensions = plan["vehicle"]["dimensions_mm"]
        self.origin = self._origin(dimensions)
        paper, margins = sheets["paper"], sheets["margins_mm"]
        window = (
            paper["width_mm"] - margins["left"] - margins["right"], paper["height_mm"] - margins["top"] - margins["bottom"],
        )
        self.sheet = max(window)
        self.wheels = self._wheels(dimensions)
        self.front = dimensions["front_overhang"] - self.origin
        self.rear = -self._wheelbase(dimensions) - dimensions["rear_overhang"] - self.origin
        self.count = 5 + 2 * len(self.ids) + 8 + 2
        self.variances = self._variances()

    @staticmethod
    def _wheelbase(dimensions):
        return (dimensions["wheelbase_left"] + dimensions["wheelbase_right"]) / 2

    def _origin(self, dimensions):
        """x of the frame's origin ahead of the front axle."""
        words = self.plan["template"]["origin"]
        return {
            "between the front wheel centres": 0.0,
            "between the rear wheel centres": -self._wheelbase(dimensions),
            "below the foremost point": dimensions["front_overhang"],
            "below the rearmost point": -self._wheelbase(dimensions) - dimensions["rear_overhang"],
        }[words]

    def _wheels(self, dimensions):
        half = dimensions["tyre_width"] / 2
        front, rear = dimensions["front_track"] / 2 + half, dimensions["rear_track"] / 2 + half
        left, right = -dimensions["wheelbase_left"], -dimensions["wheelbase_right"]
        places = [(0, front), (0, -front), (left, rear), (right, -rear)]
        return {name: np.array([x - self.origin, y]) for name, (x, y) in zip(WHEELS, places)}

    def _variances(self):
        scale = self.sheet / 1000
        along_paper = (PRINTER * scale) ** 2 + (PAPER * scale) ** 2
        both = MARKING**2 + JOINT**2 + along_paper
        own = []
        for _, y in self.places:
            own.append(max(READING**2 + (PERPENDICULAR * y / 1000) ** 2 + both, LEAST_LAYING**2))
            own.append(max((READING**2 if abs(y) > 1e-6 else 0) + CENTRELINE**2 + both, LEAST_LAYING**2))
        return np.array([1.0] * 5 + own + [PLUMB**2] * 8 + [TAPE_ZERO**2, TAPE_SCALE**2])

    def place(self, name):
        """A mark's or a wheel mark's place, mm."""
        return self.places[self.ids.index(name)] if name in self.ids else self.wheels[name]

    def moves(self, name):
        """How a point moves with the unknowns: two rows."""
        rows = np.zeros((2, self.count))
        if name not in self.ids:
            at = 5 + 2 * len(self.ids) + 2 * WHEELS.index(name)
            rows[0, at] = rows[1, at + 1] = 1
            return rows
        x, y = self.place(name)
        length = self.front - self.rear
        rows[:, 0] = PLUMB * -y / length, PLUMB * (x - self.rear) / length
        rows[:, 1] = PLUMB * y / length, PLUMB * (self.front - x) / length
        rows[:, 2] = PLUMB, 0
        rows[:, 3] = READING, 0
        rows[:, 4] = tape_sd(x), tape_sd(y)
        at = 5 + 2 * self.ids.index(name)
        rows[0, at] = rows[1, at + 1] = 1
        return rows

    def posed(self, name):
        """How a point moves with the pose of the grid: shift forward and left, turn in mm per metre about the marks' middle."""
        if name not in self.ids:
            return np.zeros((2, 3))
        x, y = (self.place(name) - self.places.mean(axis=0)) / 1000
        return np.array([[1.0, 0.0, -y], [0.0, 1.0, x]])

    def readings(self):
        """Every check with its lay, its row over the unknowns, and its row over the grid's pose."""
        for check in self.plan["checks"]:
            if check["kind"] == "inline":
                ends = [*check["to"].split("..")]
                a, b, m = self.place(ends[0]), self.place(ends[1]), self.place(check["from"])
                along = (b - a) / np.hypot(*(b - a))
                left, part = np.array([-along[1], along[0]]), (m - a) @ along / np.hypot(*(b - a))
                parts = [(check["from"], left), (ends[0], (part - 1) * left), (ends[1], -part * left)]
                # To the right of its line an offset counts as negative, and the tape was read all the same.
                beside = check["distance_mm"]
                tape = (0.0, 0.0) if on_string(check) else (math.copysign(1.0, beside), beside / 1000)
            else:
                a, b = self.place(check["from"]), self.place(check["to"])
                length = np.hypot(*(b - a))
                parts = [(check["from"], (a - b) / length), (check["to"], (b - a) / length)]
                tape = 1.0, length / 1000
            row = sum(by @ self.moves(name) for name, by in parts)
            row[-2:] += tape
            yield check, row, sum(by @ self.posed(name) for name, by in parts)

    def system(self):
        """Rows over the unknowns, rows over the pose, and the covariance of the readings' own errors."""
        checks, rows, poses = zip(*self.readings())
        tape = np.array([check["kind"] in ("distance", "vehicle") for check in checks])
        lays = np.array([check["lay"] for check in checks])
        own = np.diag([own_sd(check) ** 2 for check in checks])
        common = AT_MARK**2 * (lays[:, None] == lays[None, :]) * tape[:, None] * tape[None, :]
        return np.array(rows), np.array(poses), own + common

    def posterior(self, rows, noise, variances=None):
        """Covariance of the unknowns once all is read."""
        prior = self.variances if variances is None else variances
        return np.linalg.inv(np.diag(1 / prior) + rows.T @ np.linalg.solve(noise, rows))


def radius_95(covariance):
    """The circle about the mean that holds a normal place with 95 %: integrated over one axis, the other in closed form, with
    1 − 2 Φ(−z) = erf(z / √2)."""
    small, large = map(float, np.sqrt(np.maximum(np.linalg.eigvalsh(covariance), 1e-12)))

    def within(radius):
        def strip(angle):
            x, reach = radius * math.sin(angle), radius * math.cos(angle)
            density = math.exp(-((x / large) ** 2) / 2) / (large * math.sqrt(2 * math.pi))
            return density * math.erf(reach / small / math.sqrt(2)) * reach
        return quad(strip, -math.pi / 2, math.pi / 2, limit=200)[0]

    return brentq(lambda radius: within(radius) - 0.95, 1.5 * large, 3 * large)
