"""Follows the lines of a job as far as planting needs it: where the head is, what is fed, which layer it is."""

import math
import re
from dataclasses import dataclass

WORD = re.compile(r"([A-Z])\s*([+-]?(?:\d+\.?\d*|\.\d+))")


@dataclass
class Step:
    """One line of the job, from 0, and what it does. Lengths in mm, speeds in mm/s."""

    index: int
    command: str = ""
    words: dict = None
    start: tuple = (0.0, 0.0, 0.0)
    end: tuple = (0.0, 0.0, 0.0)
    fed: float = 0.0
    e: float = 0.0
    speed: float = 0.0
    path: float = 0.0
    layer: int = 0

    @property
    def moves(self):
        return self.command in ("G0", "G1", "G2", "G3")

    @property
    def arc(self):
        return self.command in ("G2", "G3")

    @property
    def in_plane(self):
        return math.dist(self.start[:2], self.end[:2]) > 1e-9 or self.arc

    @property
    def bead(self):
        return self.moves and self.fed > 1e-9 and self.in_plane

    @property
    def travel(self):
        return self.moves and abs(self.fed) <= 1e-9 and self.in_plane

    @property
    def pull(self):
        return self.moves and self.fed < -1e-9 and not self.in_plane

    @property
    def prime(self):
        return self.moves and self.fed > 1e-9 and not self.in_plane


def words_of(line):
    """Letters and numbers of a line, without its comment, line number and checksum."""
    code = line.split(";")[0].split("*")[0]
    code = re.sub(r"\(.*?\)", "", code)
    found = {}
    for letter, number in WORD.findall(code.upper()):
        if letter != "N" and letter not in found:
            found[letter] = float(number)
    return found


def follow(lines):
    """A Step for every line; a layer begins with a bead at another height, as in docs/figures.md."""
    steps = []
    place, e, speed, layer, layer_z = [0.0, 0.0, 0.0], 0.0, 0.0, 0, None
    absolute, absolute_e = True, True
    for index, line in enumerate(lines):
        words = words_of(line)
        command = next((f"{letter}{words[letter]:g}" for letter in "GMT" if letter in words), "")
        step = Step(index, command, words, tuple(place), tuple(place), layer=layer)
        steps.append(step)
        if command in ("G90", "G91"):
            absolute = absolute_e = command == "G90"
        elif command in ("M82", "M83"):
            absolute_e = command == "M82"
        elif command == "G28":
            named = [axis for axis, letter in enumerate("XYZ") if re.search(letter, line.split(";")[0].upper())]
            for axis in named or range(3):
                place[axis] = 0.0
        elif command == "G92":
            e = words.get("E", e if any(letter in words for letter in "XYZ") else 0.0)
            for axis, letter in enumerate("XYZ"):
                place[axis] = words.get(letter, place[axis])
        elif step.moves:
            for axis, letter in enumerate("XYZ"):
                if letter in words:
                    place[axis] = words[letter] if absolute else place[axis] + words[letter]
            if "E" in words:
                step.fed = words["E"] - e if absolute_e else words["E"]
                e = words["E"] if absolute_e else e + words["E"]
            speed = words["F"] / 60 if "F" in words else speed
            step.end, step.path = tuple(place), _path(step, place)
            if step.bead and (layer_z is None or abs(place[2] - layer_z) > 1e-3):
                layer, layer_z = layer + 1, place[2]
        step.e, step.speed, step.layer, step.end = e, speed, layer, tuple(place)
    return steps


def _path(step, end):
    if not step.arc or not {"I", "J"} & set(step.words):
        return math.dist(step.start, end)
    center = step.start[0] + step.words.get("I", 0), step.start[1] + step.words.get("J", 0)
    first = math.atan2(step.start[1] - center[1], step.start[0] - center[0])
    sweep = math.atan2(end[1] - center[1], end[0] - center[0]) - first
    sweep = (sweep if step.command == "G3" else -sweep) % (2 * math.pi)
    return (sweep if sweep > 1e-6 else 2 * math.pi) * math.dist(step.start[:2], center)
