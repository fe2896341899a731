"""Faults of what is laid: open fill, thin strokes, beads over nothing, feet too small, layers too soon."""

import math

import jobs
from bench import Bead, Bench
from make_plates import print_parts, solid_part
from plant import OVER, UNDER, Trial, seed, size
from shapes import fill_runs, inset, letter_strokes, rounded_rectangle

STEADY = ("machine.max_acceleration_mm_per_s2=1000000", "machine.z_acceleration_mm_per_s2=1000000", "machine.corner_speed_mm_per_s=10000")


class Build:
    """A job made twice: as it should be, and with faults; knows on which lines the faults lie."""

    def __init__(self, bench=None, settings=jobs.PLA):
        self.path, self.settings, self.faults = jobs.begin(bench or Bench()), settings, []

    def fault(self, lay):
        """Calls `lay`; what it writes is a fault."""
        first = len(self.path.lines) + 1
        lay()
        self.faults.append((first, len(self.path.lines)))

    def lay(self, lay, faulty):
        """Calls `lay`; what it writes is a fault or as it should be."""
        if faulty:
            self.fault(lay)
        else:
            lay()

    def text(self):
        self.path.finish()
        return "\n".join(self.path.lines) + "\n"


def trial(make, below, severity):
    """`make(size)` builds the job with faults of that size in units of the limit; half of it is the clean job."""
    faulty, clean = make(size(below)), make(0.5)
    return Trial(faulty.text(), faulty.settings, faulty.faults, severity, (clean.text(), clean.settings))


# open-fill

UNCOVERED, SLIT_WIDTHS = 0.03, 0.3


def _fill(build, outline, spacing, angle, slit=0.0):
    """Two walls and the fill of a plate; with `slit`, the lines of the upper half are moved by it."""
    path, bead = build.path, build.path.bead
    for role, distance in (("inner perimeter", bead.width / 2 + bead.spacing), ("outer perimeter", bead.width / 2)):
        path.say(role)
        path.loop(inset(outline, distance), path.speed(40))
    path.say("bottom fill" if path.layer == 1 else "top fill" if path.layer >= 4 else "solid fill")
    region = inset(outline, bead.width / 2 + 1.9 * bead.spacing)
    low, high = min(y for _, y in region), max(y for _, y in region)
    if not angle:
        spacing = (high - low) / math.ceil((high - low) / spacing)

    def lay():
        for run in fill_runs([region], spacing, angle):
            path.path([(x, y + slit if y > (low + high) / 2 else y) for x, y in run], path.speed(50))

    return lay


@seed(
    "open-fill",
    "fill of the first layer or of a top, {over} × 3 % of it open; one slit {over} × 0.3 bead widths wide and 18 mm long "
    "or longer",
    "{under} ×",
)
def open_fill(below):
    for bench, x in ((Bench(), 30), (Bench(relative_e=True), 40), (Bench(bead=Bead(0.5, 0.25), first_bead=Bead(0.5, 0.25)), 35)):
        for at_layer in (1, 5):
            for angle in (45, -45):
                yield trial(lambda share: _open_plate(bench, x, at_layer, angle, share * UNCOVERED, 0), below, "warning")
            yield trial(lambda share: _open_plate(bench, x, at_layer, 0, 0, share * SLIT_WIDTHS), below, "warning")


def _open_plate(bench, x, at_layer, angle, uncovered, slit_widths):
    build = Build(bench)
    for layer in range(5):
        build.path.begin_layer(build.path.bench.first_bead.height + layer * build.path.bench.bead.height)
        bead, here = build.path.bead, layer + 1 == at_layer
        touching = bead.width / (1 - uncovered)
        slit = bead.width * (1 + slit_widths) - bead.spacing if here and slit_widths else 0
        lay = _fill(build, rounded_rectangle(x, 40, 40, 24, 3), touching if here and uncovered else bead.spacing,
                    angle if not layer % 2 else -angle, slit)
        build.lay(lay, faulty=here)
    return build


# small-footprint

PULL_N, ADHESION_MPA = 0.1, 1


@seed("small-footprint", "rods so high that the stress at the foot is {over} × what is taken to hold", "{under} ×")
def small_footprint(below):
    for bench in (Bench(first_bead=Bead()), Bench(first_bead=Bead(0.5, 0.2), bead=Bead(0.5, 0.2), relative_e=True),
                  Bench(first_bead=Bead(0.45, 0.25), bead=Bead(0.45, 0.25))):
        for radius in (0.8, 0.95, 1.1, 1.25):
            yield trial(lambda ratio: _rods(bench, radius, ratio), below, "warning")


def _rods(bench, radius, ratio):
    build = Build(bench)
    path, width = build.path, bench.bead.width
    hole = max(0.0, 2 * (radius - 2 * width))
    section_mm3 = math.pi * ((2 * radius) ** 4 - hole**4) / (32 * 2 * radius)
    layers = round(ratio * ADHESION_MPA * section_mm3 / PULL_N / bench.bead.height)
    for layer in range(layers):
        path.begin_layer(bench.bead.height * (layer + 1))
        for x, y in ((40, 50), (70, 50)):
            def rod():
                for role, reach in (("inner perimeter", radius - 1.5 * width), ("outer perimeter", radius - 0.5 * width)):
                    if reach > 0.05:
                        path.say(role)
                        path.travel_to(round(x + reach, 3), y)
                        path.arc_to(round(x + reach, 3), y, (x, y), False, 3)
            build.lay(rod, faulty=layer == 0)
    return build


# warp-prone

SHRINKING = {"abs": (90e-6, 105, 245, 100), "asa": (95e-6, 100, 245, 100), "pc": (65e-6, 147, 280, 110), "hips": (80e-6, 100, 235, 100)}
AIR_C, FAN_WARNING_MM, WARNING_MM = 25, 0.7, 1


@seed("warp-prone", "laths that shrink by {over} × 0.7 mm with the fan, {over} × 1 mm without", "{under} ×")
def warp_prone(below):
    for material in SHRINKING:
        for fan, limit_mm in ((255, FAN_WARNING_MM), (0, WARNING_MM)):
            for angle in (0, 30):
                yield trial(lambda ratio: _lath(material, fan, ratio * limit_mm, angle), below, "warning")


def _lath(material, fan, shrinks_mm, angle_deg):
    expansion, glass_c, nozzle_c, bed_c = SHRINKING[material]
    bench = Bench(nozzle_c=nozzle_c, bed_c=bed_c, fan=fan, first_bead=Bead(0.5, 0.25), bead=Bead(0.5, 0.25))
    build = Build(bench, (f"filament.material={material}", f"filament.glass_transition_c={glass_c}"))
    length = shrinks_mm / (expansion * (glass_c - AIR_C))
    cosine, sine = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    path = build.path
    for layer in range(8):
        path.begin_layer(0.25 * (layer + 1))
        def lath():
            for role, off in (("inner perimeter", 0.5 + path.bead.spacing), ("outer perimeter", 0.5)):
                flat = [(off, off), (length - off, off), (length - off, 6 - off), (off, 6 - off)]
                path.say(role)
                path.loop([(20 + u * cosine - v * sine, 20 + u * sine + v * cosine) for u, v in flat], 12)
        build.lay(lath, faulty=layer == 0)
    return build


# weak-first-layer

NOZZLE_MM = 0.4


@seed(
    "weak-first-layer",
    "first layers {over} × 0.8 nozzles high, 1 / {over} × 0.8 nozzles wide, 1 / {over} × 0.2 nozzles high, laid at "
    "{over} × 60 mm/s, on a bed {over} × 15 °C too cold, under {over} × 0.3 of the fan (note)",
    "{under} ×; 1 / {under} ×",
)
def weak_first_layer(below):
    for relative in (False, True):
        for x in (30, 45):
            for kind in ("high", "low", "narrow", "fast", "cold", "fanned"):
                severity = "note" if kind == "fanned" else "warning"
                yield trial(lambda ratio: _first_layer(kind, ratio, relative, x), below, severity)


def _first_layer(kind, ratio, relative, x):
    bead, settings, speed, nozzle_c, bed_c = Bead(0.48, 0.2), jobs.PLA, 20, 205, 60
    if kind == "high":
        height = 0.8 * NOZZLE_MM * ratio
        bead = Bead(max(1.35 * height, 0.44), height)
    if kind == "low":
        bead = Bead(0.48, 0.2 * NOZZLE_MM / ratio)
    if kind == "narrow":
        bead = Bead(0.8 * NOZZLE_MM / max(ratio, 0.7), 0.18)
    if kind == "fast":
        speed = 60 * ratio
    if kind == "cold":
        settings, nozzle_c, bed_c = jobs.PETG, 240, round(60 - 15 * ratio) if ratio > 0.5 else 70
    build = Build(Bench(nozzle_c=nozzle_c, bed_c=bed_c, first_bead=bead, first_speed=speed, relative_e=relative),
                  (*settings, f"machine.nozzle_diameter_mm={NOZZLE_MM}", *(STEADY if kind == "fast" else ())))
    if kind == "fanned":
        build.path.put(f"M106 S{round(0.3 * ratio * 255)}")
    for layer in range(4):
        build.path.begin_layer(bead.height + 0.2 * layer)
        lay = lambda: solid_part(build.path, [rounded_rectangle(x, 40, 50, 24, 3)], layer, 4)
        build.lay(lay, faulty=layer == 0)
    return build


# thin-stroke

STROKE_MM = 0.3
WORDS = ["MILVETA", "TELLA", "AMATI", "LEVATE", "VITAL", "EMIL", "LAMATE", "META", "VALET", "TAMIL", "ITALEM", "MAVEL"]


@seed("thin-stroke", "letters of a row label in single strokes of 0.3 mm / {over}", "0.3 mm / {under}")
def thin_stroke(below):
    for count, word in enumerate(WORDS):
        yield trial(lambda ratio: _letters(word, 6 + 0.5 * (count % 5), STROKE_MM / ratio, count % 2 == 1), below, "warning")


def _letters(word, height, width, relative):
    build = Build(Bench(relative_e=relative, retraction=0.6, lift=0.3))
    path = build.path
    print_parts(path, [[rounded_rectangle(30, 40, 70, 18, 3)]], 4)
    def letters():
        for layer in range(4, 7):
            path.begin_layer(0.2 * (layer + 1))
            path.bead = Bead(width, 0.2)
            path.say("outer perimeter")
            for stroke in letter_strokes(word, 36, 45, height):
                path.path(stroke, 15)
    build.fault(letters)
    return build


# unsupported-bead

BRIDGE_MM, STILL_AIR_MM, LEAST_SHARE, OVERHANG_MM = 25, 10, 0.2, 1.5


@seed(
    "unsupported-bead",
    "bridges {over} × 25 mm long, {over} × 10 mm without a fan; walls of which 1 / {over} × 0.2 of the width is carried; "
    "layers shifted by {over} × 1.5 mm; an island in the air",
    "{under} × the length; 0.2 / {under} carried, in walls that lean and in shifted layers; the island on the plate",
)
def unsupported_bead(below):
    for relative in (False, True):
        for y in (40, 70):
            yield trial(lambda ratio: _handle(ratio * BRIDGE_MM, 255, relative, y), below, "warning")
            yield trial(lambda ratio: _handle(ratio * STILL_AIR_MM, 0, relative, y), below, "warning")
            yield trial(lambda ratio: _leaning(LEAST_SHARE / ratio, relative, y), below, "warning")
            yield trial(lambda ratio: _in_the_air(ratio > 1, relative, y), below, "warning")
            yield trial(lambda ratio: _shifted(OVERHANG_MM * ratio if ratio > 1 else (1 - LEAST_SHARE / ratio) * 0.45, relative, y),
                        below, "warning")


def _rectangle(x, y, width, depth):
    return [(x, y), (x + width, y), (x + width, y + depth), (x, y + depth)]


def _handle(span, fan, relative, y):
    """Two posts, and a deck across; `span` from edge to edge of what carries."""
    slow = {} if fan else {"outer_speed": 10, "perimeter_speed": 10, "fill_speed": 10, "infill_speed": 10, "first_speed": 10}
    build = Build(Bench(fan=fan, relative_e=relative, **slow))
    path = build.path
    print_parts(path, [[_rectangle(30, y, 12, 10)], [_rectangle(42 + span, y, 12, 10)]], 10)
    deck = _rectangle(30, y, 24 + span, 10)
    for layer in range(10, 14):
        path.begin_layer(0.2 * (layer + 1))
        def lay():
            for role, distance in (("inner perimeter", 1.5), ("outer perimeter", 0.5)):
                path.say(role)
                path.loop(inset(deck, distance * path.bead.width), 25)
            path.say("bridge" if layer == 10 else "top fill")
            for run in fill_runs([inset(deck, 1.95 * path.bead.width)], path.bead.spacing, 0):
                path.path(run, 25)
        build.lay(lay, faulty=layer == 10)
    return build


def _leaning(share, relative, y):
    """A tray of one wall whose right side leans out for five layers, so that this share of its width is carried."""
    build = Build(Bench(relative_e=relative))
    path, out = build.path, 0.0
    for layer in range(14):
        path.begin_layer(0.2 * (layer + 1))
        leans = 5 <= layer < 10
        out += (1 - share) * 0.45 if leans else 0
        def wall():
            path.say("outer perimeter")
            path.loop([(30, y), (60 + out, y), (60 + out, y + 20), (30, y + 20)], path.speed(25))
        build.lay(wall, faulty=layer == 5)
    return build


def _shifted(by_mm, relative, y):
    """A tag whose layers lie `by_mm` beside the others from layer 5 on, as after lost steps."""
    build = Build(Bench(relative_e=relative))
    for layer in range(8):
        build.path.begin_layer(0.2 * (layer + 1))
        x = 30 + (by_mm if layer >= 4 else 0)
        tag = lambda: solid_part(build.path, [_rectangle(x, y, 30, 14)], layer, 8)
        build.lay(tag, faulty=layer == 4)
    return build


def _in_the_air(hangs, relative, y):
    """A tag, and beside it a small one that begins at layer 4, or on the plate."""
    build = Build(Bench(relative_e=relative))
    for layer in range(8):
        build.path.begin_layer(0.2 * (layer + 1))
        solid_part(build.path, [rounded_rectangle(30, y, 20, 14, 2)], layer, 8)
        if hangs and layer < 3:
            continue
        small = lambda: solid_part(build.path, [rounded_rectangle(70, y, 10, 8, 2)], layer, 8)
        build.lay(small, faulty=layer == (3 if hangs else 0))
    return build


# short-layer-time

MATERIALS = {"pla": (1240, 60, 210, 60), "petg": (1270, 80, 240, 80), "abs": (1040, 105, 245, 100)}
AMBIENT_C, STILL_W, FAN_W, HEAT_CAPACITY = 30, 20, 80, 1900


def cooling_s(bead, material, fan):
    """How long a bead alone in the air needs to its glass transition: the road model of docs/checks.md."""
    density, glass_c, nozzle_c, _ = MATERIALS[material]
    outline = 2 * (bead.width - bead.height) + math.pi * bead.height
    tau_s = density * HEAT_CAPACITY * bead.area * 1e-6 / ((STILL_W + FAN_W * fan / 255) * outline * 1e-3)
    return tau_s * math.log((nozzle_c - AMBIENT_C) / (glass_c - AMBIENT_C))


@seed(
    "short-layer-time",
    "six layers (1.2 × 5) of a tower, each laid in 1 / {over} of the time that a bead needs to set",
    "four layers (0.8 × 5); six, each in the time / {under}",
)
def short_layer_time(below):
    for material in MATERIALS:
        for fan in (255, 128):
            for begin in (8, 14):
                clean = _tower(material, fan, begin, 6, 0.5)
                for count, ratio in ((6, UNDER), (4, OVER)) if below else ((6, OVER),):
                    faulty = _tower(material, fan, begin, count, ratio)
                    yield Trial(faulty.text(), faulty.settings, faulty.faults, "warning", (clean.text(), clean.settings))


def _tower(material, fan, begin, count, ratio):
    density, glass_c, nozzle_c, bed_c = MATERIALS[material]
    build = Build(Bench(nozzle_c=nozzle_c, bed_c=bed_c, fan=fan, first_bead=Bead(), retraction=0, lift=0),
                  (f"filament.material={material}", f"filament.glass_transition_c={glass_c}",
                   f"filament.density_g_per_cm3={density / 1000}", *STEADY))
    path, side = build.path, 12 if fan == 255 else 20
    contours = [[(50 + off, 50 + off), (50 + side - off, 50 + off), (50 + side - off, 50 + side - off), (50 + off, 50 + side - off)]
                for off in (0.225 + 0.407, 0.225)]
    way = sum(4 * (side - 2 * off) for off in (0.225 + 0.407, 0.225)) + 0.6
    for layer in range(26):
        path.begin_layer(0.2 * (layer + 1))
        hurried = begin <= layer < begin + count
        speed = way / cooling_s(path.bead, material, fan) * (ratio if hurried else 0.5)
        def loops():
            for role, contour in zip(("inner perimeter", "outer perimeter"), contours):
                path.say(role)
                path.loop(contour, path.speed(speed))
        if hurried and build.faults and layer > begin:
            loops()
            build.faults[-1] = (build.faults[-1][0], len(path.lines))
        else:
            build.lay(loops, faulty=hurried)
    return build
