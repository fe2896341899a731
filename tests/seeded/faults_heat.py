"""Faults of heating: too cold, too hot, left on, standing still, a warm chamber."""

import jobs
from plant import OVER, Edit, number, pick, seed, size

# Without ramps the time of a motion is its length over its speed.
WITHOUT_RAMPS = ("machine.max_acceleration_mm_per_s2=1000000", "machine.z_acceleration_mm_per_s2=1000000",
                 "machine.extruder_acceleration_mm_per_s2=1000000", "machine.corner_speed_mm_per_s=10000")
HEATING_S, COOLING_S, FLOW_C = 60, 60, 150
SETS_NOZZLE = ("M104", "M109")


def first_bead(job):
    return next(step.index for step in job.steps if step.bead)


def layer_begins(job):
    """The first bead of each layer from the second on."""
    beads = [step for step in job.steps if step.bead]
    return [later.index for before, later in zip(beads, beads[1:]) if later.layer > before.layer]


def seconds_of(step):
    if step.command == "G4":
        return step.words.get("P", 0) / 1000 + step.words.get("S", 0)
    length = step.path or abs(step.fed)
    return length / step.speed if step.moves and step.speed else 0.0


@seed(
    "cold-extrusion",
    "heater lines deleted; 5 °C below the flow temperature; no wait, 1 / {over} of the 60 s to heat; switched off {over} "
    "× 60 s too early",
    "5 °C above; 60 s / {under}; {under} × 60 s",
)
def cold_extrusion(below):
    for job in jobs.general():
        first, last = first_bead(job), len(job.lines) - 1
        heats = [step.index for step in job.steps if step.command in SETS_NOZZLE and step.index < first]
        if not below:
            edit = Edit(job)
            for index in heats:
                edit.replace(index)
            edit.mark(first, last)
            yield edit.trial("error")

        edit = Edit(job)
        for index in heats:
            edit.with_word(index, "S", FLOW_C + (5 if below else -5), 0)
        edit.mark(first, last)
        yield edit.trial("error", (f"filament.flow_temperature_c={FLOW_C}",))

        edit = Edit(job)
        for step in job.steps[:first]:
            if step.command in ("M109", "M190"):
                edit.replace(step.index, job.lines[step.index].replace("M109", "M104").replace("M190", "M140"))
        wait_s = HEATING_S / size(below) - sum(seconds_of(step) for step in job.steps[heats[-1] : first])
        edit.after(heats[-1], f"G0 X150 F{number(60 * 150 / wait_s, 4)}")
        edit.mark(first, last)
        edit.replace(heats[0])
        yield edit.trial("error", WITHOUT_RAMPS)

        beads = [step.index for step in job.steps if step.bead]
        rest_s, index = 0.0, beads[-1]
        while rest_s < size(below) * COOLING_S:
            rest_s += seconds_of(job.steps[index])
            index -= 1
        edit = Edit(job)
        edit.before(index + 1, "M104 S0")
        edit.mark(index + 1, last)
        yield edit.trial("error", WITHOUT_RAMPS)


@seed(
    "heater-left-on",
    "the line deleted that switches off the nozzle, the bed, or both",
    "both switched off behind the last line",
)
def heater_left_on(below):
    for job in jobs.general():
        off = {line: index for index, line in enumerate(job.lines) if line in ("M104 S0", "M140 S0")}
        for left_on in (("M104 S0",), ("M140 S0",), ("M104 S0", "M140 S0")):
            edit = Edit(job)
            for line in left_on:
                edit.replace(off[line])
            last = len(job.lines) - 1
            if below:
                edit.after(last, *left_on)
            edit.mark(last)
            yield edit.trial("error")


RANGES = {"filament.material=pla": ((180, 235), (0, 70)), "filament.material=petg": ((215, 260), (60, 95)),
          "filament.material=abs": ((225, 265), (80, 120))}
MARGIN_C = 5


@seed("temperature-out-of-range", "a set point 5 °C beyond the material's range and its margin of 5 °C", "3 °C inside the margin")
def temperature_out_of_range(below):
    beyond_c = MARGIN_C + (-3 if below else 5)
    for job in jobs.general():
        if not job.settings:
            continue
        nozzle, bed = RANGES[job.settings[0]]
        lines = [f"M104 S{nozzle[1] + beyond_c}", f"M140 S{bed[1] + beyond_c}", f"M104 S{nozzle[0] - beyond_c}"]
        for count, index in enumerate(pick(layer_begins(job)[:-2], 3, f"temperature {job.name}")):
            edit = Edit(job)
            edit.before(index, lines[count % len(lines)])
            edit.mark(index, len(job.lines) - 1)
            yield edit.trial("warning")


@seed("liner-overheat", "a set point 5 °C above 240 °C, 260 °C, and 260 °C where no liner is stated", "2 °C below")
def liner_overheat(below):
    by_c = -2 if below else 5
    for job in (jobs.label(), jobs.bare_label(), jobs.tags(), jobs.clips(), jobs.round_tags(), jobs.vase()):
        begins = pick(layer_begins(job), 3, f"liner {job.name}")
        stated = [("warning", 240, ("machine.liner=true",)), ("error", 260, ("machine.liner=true",)), ("note", 260, ())]
        for index, (severity, limit_c, settings) in zip(begins, stated):
            edit = Edit(job)
            edit.before(index, f"M104 S{limit_c + by_c}")
            edit.mark(index)
            yield edit.trial(severity, settings)


OVER_PART_S, PARKED_S = 15, 300


@seed("hot-dwell", "{over} × 15 s over the part, {over} × 300 s beside it", "{under} ×")
def hot_dwell(below, given=None):
    for job in given or jobs.general():
        beads = [step for step in job.steps if step.bead and step.layer > 1]
        edit = Edit(job)
        for step in pick(beads[:-1], 3, f"hot-dwell {job.name}"):
            edit.after(step.index, f"G4 P{number(size(below) * OVER_PART_S * 1000, 0)}")
            edit.mark(step.index, step.index + 1)
        yield edit.trial("warning")

        edit = Edit(job)
        for step in pick(beads[:-1], 2, f"parked {job.name}"):
            x, y, z = step.end
            edit.after(step.index, f"G0 Z{number(z + 5, 4)} F600", "G0 X150 Y150 F7200", f"G4 S{number(size(below) * PARKED_S, 0)}",
                       f"G0 X{number(x)} Y{number(y)} F7200", f"G0 Z{number(z, 4)} F{number(step.speed * 60, 1)}")
            edit.mark(step.index, step.index + 1)
        yield edit.trial("warning")


GLASS_C, LONG_PULLS, LONGEST_DIRECT_MM, ZONE_MM, SLOW_S = 60, 50, 3, 20, 300


@seed(
    "heat-creep",
    "a chamber 3 °C above what is left below the glass transition; {over} × 50 retractions that are too long; filament "
    "{over} × 300 s in the zone",
    "2 °C below; {under} × 50; {under} × 300 s",
)
def heat_creep(below):
    for job in (jobs.label(), jobs.bare_label(), jobs.tags(), jobs.vase(), jobs.round_tags(), jobs.one_after_another()):
        for index in pick(layer_begins(job), 2, f"heat-creep {job.name}"):
            edit = Edit(job)
            edit.before(index, f"M141 S{GLASS_C - 5 + (-2 if below else 3)}")
            edit.mark(index, len(job.lines) - 1)
            yield edit.trial("warning", (*_pla(job), f"filament.glass_transition_c={GLASS_C}"))
    for job in (jobs.clips(layers=24), jobs.clips(False, 24, name="irrigation clips, absolute E")):
        edit = Edit(job)
        pulls = [step for step in job.steps if step.pull and step.layer > 1][: round(size(below) * LONG_PULLS)]
        for step in pulls:
            edit.pull_back(step, OVER * LONGEST_DIRECT_MM)
        edit.mark(pulls[0].index, pulls[-1].index + 9)
        yield edit.trial("note")
    hot, hot_relative = jobs.Bench(nozzle_c=232), jobs.Bench(nozzle_c=233, relative_e=True)
    for job in (jobs.plain("tag near the top of the range", hot, [jobs.crate_tag(30, 40)], 6, jobs.PLA),
                jobs.plain("label near the top of the range", hot_relative, [jobs.row_label_part(40, 50)], 6, jobs.PLA)):
        beads = [step for step in job.steps if step.bead and step.layer > 1]
        for begin in pick(range(len(beads) // 3), 2, f"slow {job.name}"):
            edit, fed, count = Edit(job), 0.0, begin
            while fed < 5 * ZONE_MM:
                fed += beads[count].fed
                count += 1
            per_mm = fed / sum(step.path for step in beads[begin:count])
            edit.speed_up(beads[begin].index, beads[count].index, ZONE_MM / (per_mm * size(below) * SLOW_S))
            edit.mark(beads[begin].index, beads[count].index)
            yield edit.trial("note", WITHOUT_RAMPS)


def _pla(job):
    return () if job.settings else ("filament.material=pla",)
