"""The vehicle that stands on a layout while it is set out: its outline and its wheels, from what was measured."""

from shapely import box

# A wheel as it stands on the floor, wherever its tyre's code is known or not: at least so long, mm.
LEAST_WHEEL_MM = 400.0


def places(plan):
    spots = {mark["id"]: (mark["x_mm"], mark["y_mm"]) for mark in plan["marks"]}
    return spots | {point["id"]: (point["x_mm"], point["y_mm"]) for point in plan["setting_out"]["points"]}


def standing(plan):
    """The body's outline and the four wheels, from the measured dimensions and the plumbed ends alone."""
    size, spots = plan["vehicle"]["dimensions_mm"], places(plan)
    half = size["overall_width"] / 2
    front, rear = spots["front"][0], spots["rear"][0]
    body = box(rear, -half, front, half)
    wheels = []
    for side, sign in (("left", 1), ("right", -1)):
        # The two rear wheels stand about the middle of both wheelbases, the front ones about their axle.
        base = size[f"wheelbase_{side}"]
        lead = (base - (size["wheelbase_left"] + size["wheelbase_right"]) / 2) / 2
        middle = front - size["front_overhang"]
        for x, track in ((middle + lead, size["front_track"]), (middle + lead - base, size["rear_track"])):
            y = sign * track / 2
            half_width = size["tyre_width"] / 2
            wheels.append(box(x - LEAST_WHEEL_MM / 2, y - half_width, x + LEAST_WHEEL_MM / 2, y + half_width))
    return body, wheels
