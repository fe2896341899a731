"""Faults of the text itself: sums, words, arcs, ends, what is no print."""

import math
import re

import jobs
from plant import Edit, Trial, pick, seed, size

ARC_TOLERANCE_MM = 0.05


def _flip(line, place):
    digit = line[place]
    return line[:place] + str((int(digit) + 1) % 10) + line[place + 1 :]


@seed("bad-checksum", "one digit of a line", "the same digit, summed anew")
def bad_checksum(below, given=None):
    for plain in given or (jobs.tags(), jobs.bare_label(), jobs.clips(layers=6), jobs.round_tags()):
        job = jobs.serial(plain)
        edit = Edit(job)
        beads = [step.index for step in job.steps if step.bead]
        for index in pick(beads, 10, f"bad-checksum {job.name}"):
            line = job.lines[index]
            flipped = _flip(line, line.index(".") + 1)
            edit.replace(index, jobs.with_checksum(flipped.split("*")[0]) if below else flipped)
            edit.mark(index)
        yield edit.trial("error")


def _radii_apart(step, shift):
    """How far the distances of start and end from the centre differ when the centre moves along the chord by `shift` mm."""
    chord = [to - at for at, to in zip(step.start[:2], step.end[:2])]
    length = math.hypot(*chord)
    center = [round(step.words[word] + shift * part / length, 4) for word, part in zip("IJ", chord)]
    there = math.dist(center, chord)
    return abs(math.hypot(*center) - there), center


@seed("broken-arc", "radii differ by {over} × the 0.05 mm that rounding explains", "{under} ×")
def broken_arc(below):
    for job in (jobs.clips(layers=6), jobs.bare_clips(), jobs.guide_tube_clips(), jobs.round_tags(),
                jobs.round_tags(True, "round tags, relative E")):
        edit = Edit(job)
        arcs = [step for step in job.steps if step.arc and step.bead and math.dist(step.start[:2], step.end[:2]) > 0.5]
        for step in pick(arcs, 10, f"broken-arc {job.name}"):
            low, high = 0.0, 5.0
            for _ in range(40):
                middle = (low + high) / 2
                low, high = (middle, high) if _radii_apart(step, middle)[0] < size(below) * ARC_TOLERANCE_MM else (low, middle)
            for letter, value in zip("IJ", _radii_apart(step, low)[1]):
                edit.with_word(step.index, letter, value, 4)
            edit.mark(step.index)
        yield edit.trial("warning")


DAMAGED = [
    lambda line: re.sub(r"X[\d.]+", "X{next_x}", line, count=1),
    lambda line: re.sub(r"Y([\d.]+)", r"Y#\1", line, count=1),
    lambda line: re.sub(r"^G1 ?", "GI ", line),
    lambda line: re.sub(r"E[-\d.]+", "E", line, count=1),
    lambda line: re.sub(r"^G1", "G", line),
]
DOUBTFUL = [
    lambda line: re.sub(r"Y([\d.]+)", r"Y\1 Y\1", line, count=1),
    lambda line: line + " F{speed}",
]
SOUND = [
    lambda line: re.sub(r"X([\d.]+)", r"x+\1", line, count=1),
    lambda line: re.sub(r"Y([\d.]+)", r"Y \1", line, count=1),
    lambda line: re.sub(r"^G1", "G01", line),
    lambda line: line.replace(" ", ""),
    lambda line: f"N7 {line} ( Y{{next_y}} )",
]


@seed(
    "unread-line",
    "one word of a bead's line lost, or its command (warning); a letter twice, a feed never filled in (note)",
    "the same line in another readable spelling",
)
def unread_line(below, given=None):
    for job in given or jobs.general():
        beads = [step.index for step in job.steps if step.bead and re.match(r"G1 X[\d.]+ Y[\d.]+ E[\d.]+$", job.lines[step.index])]
        for severity, changes in (("warning", DAMAGED), ("note", DOUBTFUL)):
            edit = Edit(job)
            for count, index in enumerate(pick(beads, 2 * len(changes), f"{severity} {job.name}")):
                change = (SOUND if below else changes)[count % len(changes)]
                edit.replace(index, change(job.lines[index]))
                edit.mark(index)
            yield edit.trial(severity)


@seed(
    "truncated-file",
    "cut inside a command of the part, or behind one",
    "cut behind the line of the end that switches the nozzle off",
)
def truncated_file(below, given=None):
    for job in given or jobs.general():
        beads = [step.index for step in job.steps if step.bead and re.match(r"G[123] X[\d.]+ Y", job.lines[step.index])]
        for count, index in enumerate(pick(beads[len(beads) // 5 :], 3, f"truncated-file {job.name}")):
            if below:
                off = max(index for index, line in enumerate(job.lines) if line == "M104 S0")
                kept, rest = job.lines[: off + 1 + count], ("\n", "", "\n")[count]
            else:
                cut = re.match(r"G[123] X[\d.]+ Y", job.lines[index]).end()
                kept, rest = job.lines[:index] + [job.lines[index][:cut] if count % 2 == 0 else job.lines[index]], ("", "\n", "")[count]
            yield Trial("\n".join(kept) + rest, job.settings, [(len(kept), len(kept))], "error", (job.text, job.settings), job.name)


def _start_alone(job):
    first = next(step.index for step in job.steps if step.bead)
    return "\n".join(line for line in job.lines[:first] if not re.match(r"G1 E", line)) + "\n"


def _coordinates(job):
    return "".join(f"{step.end[0]:.3f} {step.end[1]:.3f} {step.end[2]:.3f}\n" for step in job.steps if step.bead)


def _milling(job):
    cuts = [re.sub(r" E[-\d.]+", "", job.lines[step.index]) for step in job.steps if step.moves]
    return "\n".join(["G21", "G90", "M6 T1", "S9000 M3", *cuts, "M5", "M30"]) + "\n"


def _fed_otherwise(job):
    """Without the lift before the first bead, over which a low part would never climb."""
    return "".join(re.sub(r" E[-\d.]+", "", line) + "\n" for line in job.lines if line != "G0 Z5 F600")


def _archive(job):
    return b"PK\x03\x04\x14\x00\x08\x00" + bytes(range(256)) * 4 + job.text.encode()


@seed(
    "not-a-print",
    "the start alone, places alone, a milling program, an archive",
    "the job without any E: heated, climbing, fed by other means",
)
def not_a_print(below):
    for job in jobs.general():
        for make in (_fed_otherwise,) if below else (_start_alone, _coordinates, _milling, _archive):
            yield Trial(make(job), job.settings, [(1, 1)], "error", (job.text, job.settings), job.name)
