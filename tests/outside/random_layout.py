"""Layouts of strips square to the vehicle, made from a seed: crossings, branches, corners, free ends, close strips."""

from random import Random

PAPERS = [("A4", 3), ("Letter", 2), ("A3", 1), ("250 mm x 353 mm", 1)]
WIDTHS_MM = [8, 10, 25, 50, 80, 120]


def written(seed, folder):
    """Writes a template and a job of its own to a folder; the job's path."""
    dice = Random(seed)
    stations, rails = dice.randint(2, 5), dice.randint(1, 3)
    parts = ['format = "template/1"', f'name = "seed {seed}"', 'purpose = "A layout made from a seed."']
    at = "front bumper"
    for number in range(stations):
        gap = dice.randint(300, 900) if number == 0 else distance(dice)
        way = "ahead" if number == 0 else "behind"
        parts.append(f'[[stations]]\nname = "s{number}"\nmeaning = "station {number}"\nfrom = "{at}"\n{way} = {gap}')
        at = f"s{number}"
    at = "centreline"
    for number in range(rails):
        parts.append(f'[[rails]]\nname = "r{number}"\nfrom = "{at}"\noutward = {distance(dice)}')
        at = f"r{number}"
    # Across the vehicle from the left: names of the places on a station.
    across = [f"r{k}/left" for k in reversed(range(rails))] + ["centre"] + [f"r{k}/right" for k in range(rails)]
    lines = strips(dice, stations, across)
    for station in range(stations):
        names = ", ".join(f'"{name}"' for name in ["centre", *(f"r{k}" for k in range(rails))])
        parts.append(f'[[marks]]\nstations = ["s{station}"]\nrails = [{names}]\ntolerance = 4')
    parts += [f'[[lines]]\nfrom = "{start}"\nto = "{end}"\nwidth = {width}' for start, end, width in lines]
    (folder / "template.toml").write_text("\n".join(parts) + "\n", encoding="utf-8")
    names, weights = zip(*PAPERS)
    margins = [f"margin_{side} = {dice.randint(5, 20)}" for side in ("left", "right", "top", "bottom")]
    job = [
        'format = "job/1"', f'vehicle = "{dice.choice(["city-car", "estate"])}"', 'template = "template.toml"',
        f'paper = "{dice.choices(names, weights)[0]}"', f"overlap = {dice.choice([8, 10, 10, 16, 25])}",
        '[printer]', 'name = "seeded"', *margins,
    ]
    (folder / "job.toml").write_text("\n".join(job) + "\n", encoding="utf-8")
    return folder / "job.toml"


def distance(dice):
    """Mostly far apart; sometimes so close that one sheet shows both."""
    return dice.randint(30, 150) if dice.random() < 0.25 else dice.randint(160, 900)


def strips(dice, stations, across):
    """Strips along and across, no two on one another."""
    lines, width = [], dice.choice(WIDTHS_MM)
    for name in across:
        if dice.random() < 0.45:
            start, end = part(dice, stations)
            lines.append((f"s{start}/{name}", f"s{end}/{name}", dice.choice([width, dice.choice(WIDTHS_MM)])))
    for station in range(stations):
        if dice.random() < 0.6 or not lines:
            start, end = part(dice, len(across))
            wide = dice.choice([width, dice.choice(WIDTHS_MM)])
            lines.append((f"s{station}/{across[start]}", f"s{station}/{across[end]}", wide))
    return lines


def part(dice, count):
    """From where to where a strip goes of so many places: often all the way, so that it crosses others."""
    start = 0 if dice.random() < 0.5 else dice.randint(0, count - 2)
    return start, count - 1 if dice.random() < 0.5 else dice.randint(start + 1, count - 1)
