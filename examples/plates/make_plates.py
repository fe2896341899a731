#!/usr/bin/env python3
"""Writes the example plates beside this file: small prints of a village orchard's print bench, most with one fault.

Run by hand after a change, then commit what it wrote. The same script writes the same bytes.
`expected.tsv` says which check should speak up about which plate.
"""

import math
import re
import sys
from pathlib import Path

sys.dont_write_bytecode = True  # the script leaves nothing behind but the plates

from bench import Bead, Bench, Toolpath, number
from shapes import circle, fill_runs, hole, inset, label_with_pin, letter_strokes, rounded_rectangle

HERE = Path(__file__).parent
SOLID_LAYERS = 3  # at the bottom and at the top


def heading(path, *about):
    for line in about:
        path.say(line)
    path.say("invented demo data of the orchard's print bench; before printing anything, the maker's manual holds")


def solid_part(path, contours, layer, layers):
    """One layer of one part: two outlines, then its fill."""
    bead = path.bead
    inner = [inset(contour, bead.width / 2 + bead.spacing) for contour in contours]
    path.say("inner perimeter")
    for contour in inner:
        path.loop(contour, path.speed(path.bench.perimeter_speed))
    path.say("outer perimeter")
    for contour in contours:
        path.loop(inset(contour, bead.width / 2), path.speed(path.bench.outer_speed))
    region = [inset(contour, bead.width / 2 + 1.9 * bead.spacing) for contour in contours]
    solid = layer < SOLID_LAYERS or layer >= layers - SOLID_LAYERS
    path.say("bottom fill" if layer < SOLID_LAYERS else "top fill" if solid else "infill")
    spacing = bead.spacing if solid else bead.spacing / 0.25
    usual = path.bench.fill_speed if solid else path.bench.infill_speed
    for run in fill_runs(region, spacing, 45 if layer % 2 else -45):
        path.path(run, path.speed(usual))


def print_parts(path, parts, layers, between=None):
    """Parts layer by layer; `between(path, layer)` is called before each layer."""
    for layer in range(layers):
        if between:
            between(path, layer)
        path.begin_layer(path.bench.first_bead.height + layer * path.bench.bead.height)
        for contours in parts:
            solid_part(path, contours, layer, layers)


def crate_tag(x, y, width=32, depth=16):
    return [rounded_rectangle(x, y, width, depth, 3), hole(x + 5, y + depth / 2, 2)]


def row_label_part(x, y, width=42, depth=16, pin_length=36):
    return [label_with_pin(x, y, width, depth, pin_length)]


def two_tags(x=30, y=40):
    return [crate_tag(x, y), crate_tag(x, y + 22)]


def plain_print(bench, about, parts, layers, wait=True, home=True, nozzle_off=True, between=None):
    path = Toolpath(bench)
    heading(path, *about)
    path.start(wait=wait, home=home)
    path.prime_line()
    print_parts(path, parts, layers, between)
    path.finish(nozzle_off=nozzle_off)
    return path.text()


# clean plates


def row_label():
    about = ("row label: a plate to write on, with a pin for the soil",)
    return plain_print(Bench(), about, [row_label_part(30, 40, 56, 18, 48)], 8)


def climbing_wall(path, center, base_radius, turns, swell):
    """One bead from the rim of a flat base of 0.6 mm up, each turn `swell` mm wider than the one before."""
    steps = 40
    path.say("climbing wall")
    path.travel_to(center[0] + base_radius - path.bead.width / 2, center[1])
    for step in range(1, (turns + 1) * steps + 1):
        turn = step / steps
        if step % (10 * steps) == 0 and turn <= turns:
            path.say(f"turn {turn:g} of {turns}")
        climbed = min(turn, turns) * 0.2
        radius = base_radius - path.bead.width / 2 + swell * min(turn, turns)
        angle = 2 * math.pi * (step % steps) / steps
        # the first turn swells from nothing over the flat base, the last one levels the rim
        flow = min(1, turn - 0.5 / steps, turns + 1 - turn + 0.5 / steps)
        z = 0.6 + climbed if turn <= turns else None
        path.line_to(center[0] + radius * math.cos(angle), center[1] + radius * math.sin(angle), 30, z, flow)
    path.layer_z = path.z


def market_vase():
    path = Toolpath(Bench())
    heading(path, "flower bowl for the market stall: three flat layers, then one bead that climbs to the rim")
    path.start()
    path.prime_line()
    center, base_radius = (80, 80), 28.0
    for layer in range(3):
        path.begin_layer(0.2 * (layer + 1))
        solid_part(path, [circle(*center, base_radius)], layer, 3)
    climbing_wall(path, center, base_radius, 60, 0.07)
    path.finish()
    return path.text()


def clip_layer(path, center, inner_radius, beads, inwards):
    """A ring with a gap of 80° at the bottom, as arcs side by side, to and fro."""
    bead = path.bead
    from_rad, to_rad = math.radians(-50), math.radians(230)
    radii = [inner_radius + bead.width / 2 + k * bead.spacing for k in range(beads)]
    for index, radius in enumerate(reversed(radii) if inwards else radii):
        clockwise = index % 2 == 1
        first, last = (to_rad, from_rad) if clockwise else (from_rad, to_rad)
        start = (center[0] + radius * math.cos(first), center[1] + radius * math.sin(first))
        if index:
            path.line_to(*start, path.speed(40))
        else:
            path.travel_to(round(start[0], 3), round(start[1], 3))
        end = (center[0] + radius * math.cos(last), center[1] + radius * math.sin(last))
        path.arc_to(*end, center, clockwise, path.speed(40))


def clip_layers(path, layers, centers=((50, 50), (75, 50), (75, 75), (50, 75))):
    """Clips for a drip pipe, side by side."""
    for layer in range(layers):
        path.begin_layer(0.2 * (layer + 1))
        path.say("wall")
        for center in centers:
            clip_layer(path, center, 7.6, 5 if path.layer == 1 else 6, layer % 2 == 1)


def irrigation_clip_relative():
    path = Toolpath(Bench(nozzle_c=240, bed_c=80, fan=100, relative_e=True))
    heading(path, "four clips for a drip pipe of 15 mm: relative E, arcs")
    path.start()
    path.prime_line()
    clip_layers(path, 30)
    path.finish()
    return path.text()


# plates with one fault


def grafting_jig_many_pins():
    bench = Bench(retraction=5, retraction_speed=40, lift=0.4, first_bead=Bead(0.5, 0.24))
    path = Toolpath(bench)
    heading(path, "grafting jig: a base with twenty thin pins; the filament comes through a guide tube",
            "fault: every pin is one short bead between two long retractions")
    path.start()
    path.prime_line()
    base = [rounded_rectangle(40, 40, 40, 32, 3)]
    print_parts(path, [base], 4)
    for layer in range(4, 28):
        path.begin_layer(0.24 + layer * 0.2)
        path.say("outer perimeter")
        for row in range(4):
            for column in range(5):
                x = 46 + 7 * (column if row % 2 == 0 else 4 - column)
                y = 45.5 + 7 * row
                path.travel_to(x + 0.42, y)
                path.arc_to(x + 0.42, y, (x, y), False, 20)
    path.finish()
    return path.text()


def crate_tag_cold_start():
    about = ("two crate tags", "fault: nothing waits for the nozzle; the first bead comes seconds after it is switched on")
    return plain_print(Bench(), about, two_tags(), 5, wait=False)


def crate_tag_heater_left_on():
    about = ("two crate tags", "fault: the end switches off the bed but not the nozzle")
    return plain_print(Bench(), about, two_tags(), 5, nozzle_off=False)


def row_label_cut_off():
    about = ("row label", "fault: the copy to the card stopped in the middle of a layer")
    whole = plain_print(Bench(), about, [row_label_part(30, 40)], 8)
    middle = whole.index("; layer 5")
    cut = re.compile(r"G1 X[\d.]+ Y").search(whole, whole.index("infill", middle) + 600)
    return whole[: cut.end()]


def crate_tag_not_homed():
    about = ("two crate tags", "fault: the start never homes the axes")
    return plain_print(Bench(), about, two_tags(), 5, home=False)


def row_label_homes_again():
    def home_again(path, layer):
        if layer == 5:
            path.say("pasted from a start block")
            path.pull()
            path.put("G28")
            path.put(f"G0 Z{number(path.z + 5, 3)} F600")
            path.feed_now, path.x, path.y, path.z = 10, 0, 0, path.z + 5

    about = ("row label", "fault: all axes are homed again at layer 6, with the part on the plate")
    return plain_print(Bench(), about, [row_label_part(30, 40)], 8, between=home_again)


def crate_tag_bad_checksum():
    about = ("two crate tags, sent over a serial line: numbered lines with checksums", "fault: one digit flipped on the way")
    plain = plain_print(Bench(), about, [crate_tag(30, 40)], 5)
    commands, numbered = 0, []
    for line in plain.splitlines():
        if line.startswith(";"):
            numbered.append(line)
            continue
        commands += 1
        numbered.append(with_checksum(f"N{commands} {line}"))
    flip = next(i for i in range(len(numbered) // 2, len(numbered)) if re.search(r" X\d\d\.\d4\d Y", numbered[i]))
    numbered[flip] = re.sub(r"(X\d\d\.\d)4", r"\g<1>5", numbered[flip], count=1)
    return "\n".join(numbered) + "\n"


def with_checksum(line):
    checksum = 0
    for byte in line.encode():
        checksum ^= byte
    return f"{line}*{checksum}"


def crate_tag_placeholder():
    def placeholder(path, layer):
        if layer == 1:
            path.put("M104 S{nozzle after layer 1}")

    about = ("two crate tags", "fault: a placeholder was left in where the nozzle should cool down a little")
    return plain_print(Bench(nozzle_c=210), about, two_tags(), 5, between=placeholder)


def arc_tag(path, x, y, width, depth, radius, distance, speed):
    """The outline of a tag with true arcs at its corners, `distance` inside its edge."""
    r = radius - distance
    left, right, low, high = x + distance, x + width - distance, y + distance, y + depth - distance
    path.travel_to(round(left + r, 3), round(low, 3))
    path.line_to(right - r, low, speed)
    path.arc_to(right, low + r, (right - r, low + r), False, speed)
    path.line_to(right, high - r, speed)
    path.arc_to(right - r, high, (right - r, high - r), False, speed)
    path.line_to(left + r, high, speed)
    path.arc_to(left, high - r, (left + r, high - r), False, speed)
    path.line_to(left, low + r, speed)
    path.arc_to(left + r, low, (left + r, low + r), False, speed)


def round_tag_layers(path, layers):
    """Two crate tags whose corners are arcs."""
    for layer in range(layers):
        path.begin_layer(0.2 * (layer + 1))
        for x, y in ((30, 40), (30, 62)):
            distance = path.bead.width / 2
            path.say("inner perimeter")
            arc_tag(path, x, y, 32, 16, 3, distance + path.bead.spacing, path.speed(50))
            path.say("outer perimeter")
            arc_tag(path, x, y, 32, 16, 3, distance, path.speed(40))
            path.say("bottom fill" if layer < 3 else "top fill")
            region = [inset(rounded_rectangle(x, y, 32, 16, 3), distance + 1.9 * path.bead.spacing)]
            for run in fill_runs(region, path.bead.spacing, 45 if layer % 2 else -45):
                path.path(run, path.speed(50))


def crate_tag_broken_arc():
    path = Toolpath(Bench())
    heading(path, "two crate tags with round corners as arcs", "fault: the sign of one arc centre got lost in a text editor")
    path.start()
    path.prime_line()
    round_tag_layers(path, 5)
    path.finish()
    arcs = [i for i, line in enumerate(path.lines) if line.startswith("G3 ") and " I-" in line]
    broken = arcs[len(arcs) // 2]
    path.lines[broken] = path.lines[broken].replace(" I-", " I")
    return path.text()


def row_label_e_mode():
    path = Toolpath(Bench(relative_e=True))
    heading(path, "row label", "fault: E is written as differences, but the start says that it counts on (M82)")
    path.start()
    path.prime_line()
    print_parts(path, [row_label_part(30, 40)], 6)
    path.finish()
    return path.text().replace("M83\n", "M82\n", 1)


def grafting_jig_drill_holes():
    lines = [
        "; grafting jig: holes and outline for the bench mill, aluminium plate of 6 mm",
        "; invented demo data of the orchard's print bench",
        "; fault: this is a milling program that went into the printer's folder",
        "G21", "G90", "G17", "M6 T1", "S9000 M3", "G0 Z5",
    ]
    for row in range(3):
        for column in range(6):
            lines += [f"G0 X{8 + 8 * column} Y{8 + 8 * row}", "G1 Z-6.5 F90", "G0 Z5"]
    lines += ["M5", "M6 T2", "S12000 M3", "G0 X-2 Y-2"]
    for depth in (1.5, 3, 4.5, 6.2):
        lines += [f"G1 Z-{depth} F120", "G1 X58 F300", "G1 Y34", "G1 X-2", "G1 Y-2"]
    lines += ["G0 Z20", "M5", "M30"]
    return "\n".join(lines) + "\n"


# plates whose nozzle goes where it should not


def rods(path, centers, radius, speed, layers):
    """Slender round rods, two loops each, layer by layer."""
    for layer in range(layers):
        path.begin_layer(path.bench.first_bead.height + layer * path.bench.bead.height)
        for x, y in centers:
            for role, distance in (("inner perimeter", 1.5), ("outer perimeter", 0.5)):
                reach = radius - distance * path.bead.width
                path.say(role)
                path.travel_to(round(x + reach, 3), y)
                path.arc_to(x + reach, y, (x, y), False, speed)


def grafting_jig_dragged_pins():
    path = Toolpath(Bench(lift=0))
    heading(path, "grafting jig: nine pins on a base", "fault: nothing lifts the nozzle, and it drives through pins on its way to others")
    path.start()
    path.prime_line()
    base = [rounded_rectangle(40, 40, 44, 16, 3)]
    print_parts(path, [base], 4)
    order = [0, 4, 8, 1, 5, 2, 6, 3, 7]
    for layer in range(4, 34):
        path.begin_layer(0.2 * (layer + 1))
        for pin in order:
            x, y = 46 + 4 * pin, 48
            path.say("outer perimeter")
            path.travel_to(round(x + 0.775, 3), y)
            path.arc_to(x + 0.775, y, (x, y), False, 25)
            path.say("inner perimeter")
            path.travel_to(round(x + 0.325, 3), y)
            path.arc_to(x + 0.325, y, (x, y), False, 25)
    path.finish()
    return path.text()


def crate_tags_one_after_another():
    path = Toolpath(Bench())
    heading(path, "two crate tags, printed one after the other",
            "fault: the way to the second one starts at its first layer, right through the finished first one")
    path.start()
    path.prime_line()
    for tag in (crate_tag(30, 40), crate_tag(30, 70)):
        if path.layer:
            path.pull()
            path.put(f"G0 X46 Y44{path._speed(path.bench.travel_speed)}")
            path.x, path.y = 46, 44
        path.layer = 0
        print_parts(path, [tag], 8)
    path.finish()
    return path.text()


def irrigation_clips_not_pulled_back():
    path = Toolpath(Bench(nozzle_c=250, bed_c=80, fan=100, retraction=0))
    heading(path, "four clips for a drip pipe of 15 mm", "fault: the filament is never pulled back on the way from one to the next")
    path.start()
    path.prime_line()
    clip_layers(path, 20)
    path.finish()
    return path.text()


def crate_handle_long_bridge():
    path = Toolpath(Bench())
    heading(path, "handle of a crate: two posts and a deck across", "fault: the deck spans 44 mm of air")
    path.start()
    path.prime_line()
    posts = [[rounded_rectangle(30, 40, 14, 14, 2)], [rounded_rectangle(88, 40, 14, 14, 2)]]
    print_parts(path, posts, 20)
    deck = rounded_rectangle(30, 40, 72, 14, 2)
    for layer in range(20, 24):
        path.begin_layer(0.2 * (layer + 1))
        for role, distance in (("inner perimeter", 1.5), ("outer perimeter", 0.5)):
            path.say(role)
            path.loop(inset(deck, distance * path.bead.width), path.speed(25))
        path.say("bridge" if layer == 20 else "top fill")
        within = inset(deck, 1.95 * path.bead.width)
        depth = max(y for _, y in within) - min(y for _, y in within)
        for run in fill_runs([within], depth / math.ceil(depth / path.bead.spacing), 0):
            path.path(run, path.speed(25))
    path.finish()
    return path.text()


def row_label_open_fill():
    path = Toolpath(Bench())
    heading(path, "row label", "fault: the lines of the solid layers lie a third too far apart, and light falls through")
    path.start()
    path.prime_line()
    label = rounded_rectangle(30, 40, 56, 18, 3)
    for layer in range(6):
        path.begin_layer(0.2 * (layer + 1))
        for role, distance in (("inner perimeter", 1.45), ("outer perimeter", 0.5)):
            path.say(role)
            path.loop(inset(label, distance * path.bead.width), path.speed(40))
        path.say("bottom fill" if layer < 3 else "top fill")
        region = [inset(label, 2.3 * path.bead.width)]
        for run in fill_runs(region, 1.35 * path.bead.width, 45 if layer % 2 else -45):
            path.path(run, path.speed(50))
    path.finish()
    return path.text()


def crate_tag_rushed_first_layer():
    about = ("two crate tags", "fault: the first layer is laid as fast as the others")
    return plain_print(Bench(first_speed=80), about, two_tags(), 5)


def grafting_rods_on_tiptoe():
    path = Toolpath(Bench(lift=0.4))
    heading(path, "rods for the grafting jig, 3 mm thick and 56 mm high", "fault: each stands on 7 mm², without a brim")
    path.start()
    path.prime_line()
    rods(path, [(50 + 20 * (i % 3), 50 + 20 * (i // 3)) for i in range(6)], 1.5, 12, 280)
    path.finish()
    return path.text()


def crate_lid_that_warps():
    about = ("lid of a crate in ABS", "fault: 150 mm of a plastic that shrinks, fan at full speed, no brim; its vapours want a ventilated room")
    bench = Bench(nozzle_c=245, bed_c=100, fan=255, first_bead=Bead(0.55, 0.25), bead=Bead(0.5, 0.25))
    return plain_print(bench, about, [[rounded_rectangle(20, 20, 150, 90, 4)]], 5)


def row_label_hairline_letters():
    path = Toolpath(Bench())
    heading(path, "row label with the name of an apple, MILVETA", "fault: its letters are single strokes of 0.22 mm, too fine for a nozzle of 0.4 mm")
    path.start()
    path.prime_line()
    print_parts(path, [row_label_part(30, 40, 56, 18, 30)], 4)
    for layer in range(4, 7):
        path.begin_layer(0.2 * (layer + 1))
        path.bead = Bead(0.22, 0.2)
        path.say("outer perimeter")
        for stroke in letter_strokes("MILVETA", 36, 45, 7):
            path.path(stroke, 15)
    path.finish()
    return path.text()


# plates that a profile judges


def crate_tags_off_the_plate():
    about = ("three crate tags", "fault: laid out for a wider machine; the third tag hangs over the edge at X 180")
    parts = [crate_tag(70, 40), crate_tag(110, 40), crate_tag(150, 40)]
    return plain_print(Bench(), about, parts, 4)


def crate_tag_for_another_nozzle():
    wide = Bead(0.9, 0.4)
    bench = Bench(nozzle_c=215, first_bead=wide, bead=wide, first_speed=15, outer_speed=18, perimeter_speed=20, fill_speed=20,
                  infill_speed=20, retraction=1)
    about = ("two crate tags", "fault: sliced for a nozzle of 0.8 mm; the machine carries one of 0.4 mm")
    return plain_print(bench, about, [crate_tag(30, 40, 44, 22), crate_tag(30, 68, 44, 22)], 6)


def row_label_for_thick_filament():
    about = ("row label", "fault: sliced for filament of 2.85 mm; the machine is fed with 1.75 mm")
    return plain_print(Bench(filament_diameter=2.85), about, [row_label_part(30, 40)], 5)


def row_label_too_hot():
    about = ("row label", "fault: the set point of another filament; this one is 250 °C, the profile says PLA")
    return plain_print(Bench(nozzle_c=250), about, [row_label_part(30, 40)], 6)


def irrigation_clip_on_a_lined_hot_end():
    path = Toolpath(Bench(nozzle_c=250, bed_c=80, fan=100, relative_e=True))
    heading(path, "two clips for a drip pipe of 15 mm",
            "fault: 250 °C with a fluoropolymer liner that reaches the hot zone; the fumes of an overheated liner are harmful")
    path.start()
    path.prime_line()
    clip_layers(path, 20, ((50, 50), (80, 50)))
    path.finish()
    return path.text()


PLATES = [
    ("row_label.gcode", row_label, "-", "-"),
    ("market_vase.gcode", market_vase, "-", "-"),
    ("irrigation_clip_relative.gcode", irrigation_clip_relative, "-", "-"),
    ("grafting_jig_many_pins.gcode", grafting_jig_many_pins, "dense-retraction", "error"),
    ("crate_tag_cold_start.gcode", crate_tag_cold_start, "cold-extrusion", "error"),
    ("crate_tag_heater_left_on.gcode", crate_tag_heater_left_on, "heater-left-on", "error"),
    ("row_label_cut_off.gcode", row_label_cut_off, "truncated-file", "error"),
    ("crate_tag_not_homed.gcode", crate_tag_not_homed, "unhomed-move", "warning"),
    ("row_label_homes_again.gcode", row_label_homes_again, "mid-print-homing", "error"),
    ("crate_tag_bad_checksum.gcode", crate_tag_bad_checksum, "bad-checksum", "error"),
    ("crate_tag_placeholder.gcode", crate_tag_placeholder, "unread-line", "warning"),
    ("crate_tag_broken_arc.gcode", crate_tag_broken_arc, "broken-arc", "warning"),
    ("row_label_e_mode.gcode", row_label_e_mode, "implausible-bead", "error"),
    ("grafting_jig_drill_holes.gcode", grafting_jig_drill_holes, "not-a-print", "error"),
    ("grafting_jig_dragged_pins.gcode", grafting_jig_dragged_pins, "low-travel", "warning"),
    ("crate_tags_one_after_another.gcode", crate_tags_one_after_another, "travel-collision", "error"),
    ("irrigation_clips_not_pulled_back.gcode", irrigation_clips_not_pulled_back, "open-travel", "warning"),
    ("crate_handle_long_bridge.gcode", crate_handle_long_bridge, "unsupported-bead", "warning"),
    ("row_label_open_fill.gcode", row_label_open_fill, "open-fill", "warning"),
    ("crate_tag_rushed_first_layer.gcode", crate_tag_rushed_first_layer, "weak-first-layer", "warning"),
    ("grafting_rods_on_tiptoe.gcode", grafting_rods_on_tiptoe, "small-footprint", "warning"),
    ("crate_lid_that_warps.gcode", crate_lid_that_warps, "warp-prone", "warning"),
    ("row_label_hairline_letters.gcode", row_label_hairline_letters, "thin-stroke", "warning"),
    ("with_profile/crate_tags_off_the_plate.gcode", crate_tags_off_the_plate, "outside-build-volume", "error"),
    ("with_profile/crate_tag_for_another_nozzle.gcode", crate_tag_for_another_nozzle, "wrong-machine", "warning"),
    ("with_profile/row_label_for_thick_filament.gcode", row_label_for_thick_filament, "wrong-machine", "error"),
    ("with_profile/row_label_too_hot.gcode", row_label_too_hot, "temperature-out-of-range", "warning"),
    ("with_liner/irrigation_clip_on_a_lined_hot_end.gcode", irrigation_clip_on_a_lined_hot_end, "liner-overheat", "warning"),
]


def main():
    rows = ["file\tcheck\tseverity"]
    for name, make, check, severity in PLATES:
        target = HERE / name
        target.parent.mkdir(exist_ok=True)
        target.write_text(make(), encoding="utf-8", newline="\n")
        rows.append(f"{name}\t{check}\t{severity}")
    (HERE / "expected.tsv").write_text("\n".join(rows) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
