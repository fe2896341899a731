"""Faults of where the head goes: into the part, out of the machine, not homed, too fast for it, without pulling back."""

import itertools

import jobs
from bench import Bench
from faults_heat import first_bead, layer_begins
from plant import OVER, Edit, Trial, number, pick, seed, size
from shapes import rounded_rectangle

SCAR_MM, TOWER_HITS, PIN_MM = 20, 10, 0.775


def _pins(name, bench, layers, settings=jobs.PLA):
    """A jig of nine slender pins, in an order that passes over others, lifted."""
    path = jobs.begin(bench)
    jobs.print_parts(path, [[rounded_rectangle(40, 40, 44, 16, 3)]], 4)
    for layer in range(4, layers):
        path.begin_layer(0.2 * (layer + 1))
        for pin in (0, 4, 8, 1, 5, 2, 6, 3, 7):
            x, y = 46 + 4 * pin, 48
            for role, radius in (("outer perimeter", PIN_MM), ("inner perimeter", 0.325)):
                path.say(role)
                path.travel_to(round(x + radius, 3), y)
                path.arc_to(x + radius, y, (x, y), False, 12)
    path.finish()
    return jobs.job(name, path, settings)


def _passes_a_pin(job, travel):
    """Whether a pin that this layer has laid already stands in the way."""
    low, high = sorted((travel.start[0], travel.end[0]))
    before = (step for step in reversed(job.steps[: travel.index]) if step.bead)
    return any(step.layer == travel.layer and low + 2 < step.end[0] < high - 2 for step in itertools.islice(before, 18))


def _without_lift(edit, travel):
    """The lines that raise and lower the nozzle around this travel are gone."""
    for index in (travel.index - 1, travel.index + 1):
        step = edit.job.steps[index]
        if step.moves and not step.in_plane and abs(step.fed) < 1e-9:
            edit.replace(index)
    later = next(step for step in edit.job.steps[travel.index + 2 :] if step.moves)
    edit.with_word(later.index, "F", later.speed * 60, 1)
    edit.with_word(travel.index, "F", travel.speed * 60, 1)


@seed(
    "low-travel",
    "lifts taken from {over} × 10 travels through slender pins; {over} × 20 mm across a finished top",
    "{under} ×",
)
def low_travel(below):
    for job in (_pins("nine pins", Bench(lift=0.4), 44), _pins("nine pins, relative E", Bench(lift=0.4, relative_e=True), 40),
                _pins("nine pins through a guide tube", Bench(lift=0.5, retraction=4), 42, jobs.GUIDE_TUBE)):
        over_pins = [step for step in job.steps if step.travel and step.layer > 22 and _passes_a_pin(job, step)]
        for begin in pick(range(len(over_pins) - 20), 2, f"pins {job.name}"):
            edit = Edit(job)
            travels = over_pins[begin : begin + round(size(below) * TOWER_HITS)]
            for travel in travels:
                _without_lift(edit, travel)
            edit.mark(travels[0].index, travels[-1].index)
            yield edit.trial("warning")
    for job, corners in ((jobs.tags(), [(30, 40), (30, 62)]), (jobs.tags_absolute(), [(50, 30)]), (jobs.abs_tags(), [(40, 40)]),
                         (jobs.wide_tags(), [(30, 44)]), (jobs.guide_tube_tags(), [(30, 40), (70, 40)]), (jobs.round_tags(), [(30, 40)])):
        top = [step for step in job.steps if step.bead and step.layer == job.steps[-1].layer]
        for x, y in corners:
            last = max(step.index for step in top if x < step.end[0] < x + 31 and y < step.end[1] < y + 15)
            travel = next(step for step in job.steps[last:] if step.travel)
            low_z, high_z = job.steps[last].end[2], travel.end[2]
            edit = Edit(job)
            edit.before(travel.index, f"G0 X{number(x + 3)} Y{number(y + 11.5)} F7200", f"G0 Z{number(low_z)} F600",
                        f"G0 X{number(x + 3 + size(below) * SCAR_MM)} F7200", f"G0 Z{number(high_z)} F600")
            edit.with_word(travel.index, "F", 7200, 0)
            edit.mark(travel.index)
            yield edit.trial("warning")


DEPTH_MM = 0.3


@seed("travel-collision", "{over} × 0.3 mm below the top, straight across what stands there", "{under} ×")
def travel_collision(below, given=None):
    for job in given or (jobs.tags(), jobs.tags_absolute(), jobs.wide_tags(), jobs.guide_tube_tags(), jobs.round_tags(), jobs.abs_tags(),
                jobs.clips(layers=8), jobs.one_after_another(), jobs.one_after_another(True, "crate tags one after another, relative E")):
        beads = [step for step in job.steps if step.bead and step.end[2] > 5 * 0.2 and step.path > 5]
        heights = sorted({step.end[2] for step in job.steps if step.bead})
        below_it = dict(zip(heights[1:], heights))
        beads = [step for step in beads if step.end[2] - below_it[step.end[2]] > 0.1]  # no spiral
        for step in pick(beads, 3, f"collision {job.name}"):
            # Back along the bead itself: there the layer below is known to lie.
            edit = Edit(job)
            x, y, z = step.end
            edit.after(step.index, f"G0 Z{number(below_it[z] - size(below) * DEPTH_MM)} F600",
                       f"G0 X{number(step.start[0])} Y{number(step.start[1])} F7200", f"G0 X{number(x)} Y{number(y)}",
                       f"G0 Z{number(z, 4)} F{number(step.speed * 60, 1)}")
            edit.mark(step.index)
            yield edit.trial("error")


CROSSINGS, ENOUGH_MM = 25, {"direct": 0.3, "bowden": 2}


@seed(
    "open-travel",
    "{over} × 25 travels in the open without pulling back, or pulling 1 / {over} of 0.3 mm (2 mm by a guide tube)",
    "{under} × 25 travels; 0.3 mm (2 mm) / {under}",
)
def open_travel(below):
    for job in (jobs.clips(layers=24), jobs.collars(), jobs.guide_tube_clips()):
        pulls = [step for step in job.steps if step.pull and step.layer > 1][:-1]
        count = round(size(below) * CROSSINGS)
        for begin in pick(range(len(pulls) - count), 4, f"open {job.name}"):
            edit = Edit(job)
            for step in pulls[begin : begin + count]:
                prime = next(later for later in job.steps[step.index + 1 :] if later.prime)
                for gone in (step, prime):
                    later = next(later for later in job.steps[gone.index + 1 :] if later.moves)
                    edit.replace(gone.index)
                    edit.with_word(later.index, "F", later.speed * 60, 1)
            edit.mark(pulls[begin].index, pulls[begin + count - 1].index + 5)
            yield edit.trial("warning")
        drive = job.settings[1].split("=")[1] if job.settings else "direct"
        edit = Edit(job)
        some = pulls[: round(OVER * CROSSINGS)]
        for step in some:
            edit.pull_back(step, ENOUGH_MM[drive] / size(below))
        edit.mark(some[0].index, some[-1].index + 5)
        yield edit.trial("warning", () if job.settings else ("machine.drive=direct",))


TOLERANCE_MM = 0.1


@seed(
    "outside-build-volume",
    "a travel, or a bead, {over} × the tolerated 0.1 mm past an end of the stated volume; a bead as far below the plate",
    "{under} ×",
)
def outside_build_volume(below):
    by_mm = size(below) * TOLERANCE_MM
    volume = ("machine.build_x_mm=[0, 200]", "machine.build_y_mm=[0, 180]", "machine.build_z_mm=[0, 90]")
    ends = [("X", -by_mm), ("X", 200 + by_mm), ("Y", -by_mm), ("Y", 180 + by_mm), ("Z", 90 + by_mm)]
    for job in jobs.general():
        beads = [step for step in job.steps if step.bead]
        edit = Edit(job)
        for (axis, to), step in zip(ends, pick([step for step in beads if step.layer > 1], 5, f"outside {job.name}")):
            x, y, z = step.end
            edit.after(step.index, f"G0 Z{number(z + 2, 4)} F600", f"G0 {axis}{number(to)} F7200", f"G0 Z{number(z + 2, 4)} F600",
                       f"G0 X{number(x)} Y{number(y)} F7200", f"G0 Z{number(z, 4)} F{number(step.speed * 60, 1)}")
            edit.mark(step.index)
        yield edit.trial("error", volume)

        step = pick([step for step in beads if step.layer == 2 and not step.arc], 1, f"below {job.name}")[0]
        edit = Edit(job)
        edit.before(step.index, f"G0 Z{number(-by_mm)} F600", f"G1 F{number(step.speed * 60, 1)}")
        edit.after(step.index, f"G0 Z{number(step.end[2], 4)} F600", f"G1 F{number(step.speed * 60, 1)}")
        edit.mark(step.index)
        yield edit.trial("error")

        if any(step.arc for step in beads):
            continue
        farthest = max(beads, key=lambda step: step.end[1])
        stated = f"machine.build_y_mm=[-50, {farthest.end[1] - by_mm:.4f}]"
        reaching = [step.index + 1 for step in beads if max(step.start[1], step.end[1]) > farthest.end[1] - by_mm]
        yield Trial(job.text, (*job.settings, stated), [(min(reaching), max(reaching))], "error", (job.text, job.settings), job.name)


@seed("unhomed-move", "G28 deleted, or an axis left out", "the place set with G92 instead")
def unhomed_move(below):
    for job in jobs.general():
        home = next(step.index for step in job.steps if step.command == "G28")
        for line in ("", "G28 X Y", "G28 Z", "G28 X Z"):
            edit = Edit(job)
            edit.replace(home, *([line] if line else []))
            if below:
                edit.after(home, "G92 X0 Y0 Z0")
            edit.mark(first_bead(job))
            yield edit.trial("warning")


@seed("mid-print-homing", "G28, G28 Z or G29 between two layers", "G28 X Y there, G28 behind the last bead")
def mid_print_homing(below, given=None):
    for job in given or jobs.general():
        last = max(step.index for step in job.steps if step.bead)
        for count, index in enumerate(pick(layer_begins(job)[1:], 3, f"homing {job.name}")):
            step = job.steps[index]
            x, y, z = step.start
            edit = Edit(job)
            home = "G28 X Y" if below else ("G28", "G28 Z", "G29")[count]
            edit.before(index, home, f"G0 Z{number(z + 5, 4)} F600", f"G0 X{number(x)} Y{number(y)} F7200", f"G0 Z{number(z, 4)} F600",
                        f"G1 F{number(step.speed * 60, 1)}")
            edit.mark(index)
            if below:
                edit.after(last, "G28")
            yield edit.trial("error")


WIDE_RATIO, OVER_RATIO = 2, 1.02


@seed(
    "wrong-machine",
    "beads {over} × 2 nozzles wide; travels, and an acceleration, {over} × 1.02 times those of the machine; made for "
    "filament of 2.85 mm; a tool that it does not have",
    "{under} ×; made for 1.75 mm; the tool there is",
)
def wrong_machine(below):
    for job in jobs.general():
        width = 0.65 if "0.6" in job.name else 0.45
        settings = tuple(setting for setting in job.settings if "nozzle" not in setting)
        stated = [("warning", f"machine.nozzle_diameter_mm={width / WIDE_RATIO / size(below):.4f}"),
                  ("warning", f"machine.max_speed_mm_per_s={120 / OVER_RATIO / size(below):.3f}")]
        for severity, setting in stated:
            yield Trial(job.text, (*settings, setting), [(1, len(job.lines))], severity, (job.text, job.settings), job.name)
        begin = pick(layer_begins(job), 1, f"acceleration {job.name}")[0]
        edit = Edit(job)
        edit.before(begin, f"M204 S{number(size(below) * OVER_RATIO * 1200, 0)}")
        edit.mark(begin)
        yield edit.trial("warning", ("machine.max_acceleration_mm_per_s2=1200",))
        step = pick([step for step in job.steps if step.bead and step.layer > 1], 1, f"tool {job.name}")[0]
        edit = Edit(job)
        edit.before(step.index, f"T{0 if below else 1}")
        edit.mark(step.index, len(job.lines) - 1)
        yield edit.trial("error", ("machine.tool_count=1",))
    for relative in (False, True):
        bench = Bench(filament_diameter=1.75 if below else 2.85, relative_e=relative)
        thick = jobs.plain("label for thick filament", bench, [jobs.row_label_part(30, 40)], 5)
        clean = jobs.plain("label", Bench(relative_e=relative), [jobs.row_label_part(30, 40)], 5)
        stated = ("machine.filament_diameter_mm=1.75", "machine.nozzle_diameter_mm=0.4")
        yield Trial(thick.text, stated, [(1, len(thick.lines))], "error", (clean.text, stated))
