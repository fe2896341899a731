"""The clean jobs: small prints of the orchard's print bench, made with what made the example plates.

They differ in shape, in how E is written, in comments, in the drive and in the material, as jobs do.
"""

import functools

from bench import Bead, Bench, Toolpath, number
from make_plates import climbing_wall, clip_layers, crate_tag, print_parts, round_tag_layers, row_label_part, with_checksum
from plant import Job
from shapes import circle

PLA = ("filament.material=pla", "machine.drive=direct")
GUIDE_TUBE = ("filament.material=pla", "machine.drive=bowden")
PETG = ("filament.material=petg", "machine.drive=direct")
ABS = ("filament.material=abs", "machine.drive=direct")
WIDE = ("filament.material=pla", "machine.drive=direct", "machine.nozzle_diameter_mm=0.6")
UNSTATED = ()


def begin(bench, prime=True):
    path = Toolpath(bench)
    path.start()
    if prime:
        path.prime_line()
    return path


def job(name, path, settings=UNSTATED, comments=True):
    lines = path.lines if comments else [line for line in path.lines if not line.startswith(";")]
    return Job(name, list(lines), settings)


def plain(name, bench, parts, layers, settings=UNSTATED, comments=True):
    path = begin(bench)
    print_parts(path, parts, layers)
    path.finish()
    return job(name, path, settings, comments)


def label():
    return plain("row label", Bench(), [row_label_part(30, 40)], 8)


def bare_label():
    return plain("row label, no comments, relative E", Bench(relative_e=True), [row_label_part(40, 50, 50, 18, 40)], 8, PLA, False)


def tags():
    return plain("three crate tags, relative E", Bench(relative_e=True), [crate_tag(30, 40 + 22 * k) for k in range(3)], 6, PLA)


def tags_absolute():
    return plain("two crate tags, no comments", Bench(), [crate_tag(50, 30), crate_tag(50, 60, 40, 20)], 6, UNSTATED, False)


def abs_tags():
    bench = Bench(nozzle_c=245, bed_c=100, fan=0)
    return plain("crate tags of ABS", bench, [crate_tag(40, 40), crate_tag(80, 40)], 6, ABS)


def wide_tags():
    bench = Bench(first_bead=Bead(0.7, 0.3), bead=Bead(0.65, 0.3), retraction=1, lift=0.4, fill_speed=40, infill_speed=40)
    return plain("crate tags through 0.6 mm", bench, [crate_tag(30, 40, 44, 24), crate_tag(30, 74, 44, 24)], 6, WIDE)


def guide_tube_tags():
    bench = Bench(retraction=5, retraction_speed=40, lift=0.4)
    return plain("crate tags through a guide tube", bench, [crate_tag(30, 40), crate_tag(70, 40), crate_tag(30, 70)], 6, GUIDE_TUBE)


def clips(relative=True, layers=12, comments=True, name="four irrigation clips of PETG, relative E, arcs", retraction=0.8, settings=PETG):
    path = begin(Bench(nozzle_c=240, bed_c=80, fan=100, relative_e=relative, retraction=retraction))
    clip_layers(path, layers)
    path.finish()
    return job(name, path, settings, comments)


def bare_clips():
    return clips(False, 10, False, "irrigation clips, no comments", settings=UNSTATED)


def guide_tube_clips():
    path = begin(Bench(nozzle_c=205, retraction=4, lift=0.4))
    clip_layers(path, 12)
    path.finish()
    return job("irrigation clips through a guide tube", path, GUIDE_TUBE)


def collars():
    """Rings of two closed loops each; no comments."""
    path = begin(Bench(lift=0.2))
    for layer in range(24):
        path.begin_layer(0.2 * (layer + 1))
        for x, y in ((50, 50), (80, 50), (80, 80), (50, 80)):
            for radius in (8, 8.407):
                path.travel_to(x + radius, y)
                path.arc_to(x + radius, y, (x, y), False, path.speed(30))
    path.finish()
    return job("collars of irrigation pipes, no comments", path, PLA, False)


def round_tags(relative=False, name="crate tags with round corners as arcs"):
    path = begin(Bench(relative_e=relative))
    round_tag_layers(path, 6)
    path.finish()
    return job(name, path)


def vase():
    path = begin(Bench())
    center, base_radius = (80, 80), 20.0
    for layer in range(3):
        path.begin_layer(0.2 * (layer + 1))
        for distance in range(int(base_radius / path.bead.spacing) - 1, 0, -1):
            path.say("inner perimeter" if distance > 1 else "outer perimeter")
            path.loop(circle(*center, base_radius - path.bead.width / 2 - (distance - 1) * path.bead.spacing, 40), path.speed(40))
    climbing_wall(path, center, base_radius, 25, 0.05)
    path.finish()
    return job("market vase, a spiral", path)


def one_after_another(relative=False, name="crate tags one after another"):
    path = begin(Bench(relative_e=relative))
    for number_of_tag in range(3):
        if path.layer:
            path.pull()
            path.put(f"G0 Z{number(path.z + 5, 3)}{path._speed(10)}")
            path.put(f"G0 X40 Y{40 + 30 * number_of_tag}{path._speed(120)}")
            path.x, path.y, path.z = 40, 40 + 30 * number_of_tag, 99
        path.layer = 0
        print_parts(path, [crate_tag(30, 40 + 30 * number_of_tag)], 6)
    path.finish()
    return job(name, path)


def serial(plain_job):
    """The same job as sent over a serial line: numbered, with checksums."""
    numbered, commands = [], 0
    for line in plain_job.lines:
        if line.startswith(";"):
            numbered.append(line)
            continue
        commands += 1
        numbered.append(with_checksum(f"N{commands} {line}"))
    return Job(f"{plain_job.name}, with checksums", numbered, plain_job.settings)


@functools.cache
def general():
    """Jobs into which most faults fit."""
    return [label(), bare_label(), tags(), tags_absolute(), abs_tags(), wide_tags(), guide_tube_tags(), clips(), bare_clips(),
            guide_tube_clips(), round_tags(), vase(), one_after_another()]
