"""Faults of what is fed: how much, how fast, how often back and forth."""

import math

import jobs
from bench import Bead, Bench
from faults_heat import WITHOUT_RAMPS, first_bead
from plant import OVER, Edit, Trial, number, pick, seed, size
from shapes import fill_runs, inset, rounded_rectangle

FILAMENT_MM2 = math.pi * 1.75**2 / 4

WORN_PASSES = 50


@seed("dense-retraction", "a bead in pieces, {over} × 50 gear passes of one point", "{under} ×")
def dense_retraction(below, given=None):
    pulls = math.floor((size(below) * WORN_PASSES - 1) / 2)
    for job in given or jobs.general():
        length = next((-step.fed for step in job.steps if step.pull), 0.8)
        beads = [step for step in job.steps if step.bead and not step.arc and step.layer > 1]
        beads = [step for step in beads if 0.05 < step.fed < 0.8 * length and step.path > 2]
        places = pick([step for step in beads if step.layer < 3], 1, f"dense {job.name}")
        places += pick([step for step in beads if step.layer > 4], 1, f"dense later {job.name}")
        for step in places:
            edit = Edit(job)
            edit.replace(step.index, *_in_pieces(edit, step, pulls, length))
            edit.mark(step.index)
            yield edit.trial("warning")


def _in_pieces(edit, step, pulls, length):
    lines, e = [], 0.0 if edit.relative_e else step.e - step.fed
    for piece in range(1, pulls + 2):
        share = piece / (pulls + 1)
        x, y, z = (at + share * (to - at) for at, to in zip(step.start, step.end))
        fed_to = step.fed / (pulls + 1) if edit.relative_e else e + step.fed * share
        lines.append(f"G1 X{number(x, 4)} Y{number(y, 4)} Z{number(z, 4)} E{number(fed_to, 6)} F{number(step.speed * 60, 1)}")
        if piece <= pulls:
            back, forth = (-length, length) if edit.relative_e else (fed_to - length, fed_to)
            lines += [f"G1 E{number(back, 6)} F2100", f"G1 E{number(forth, 6)} F2100"]
    return lines + [f"G1 F{number(step.speed * 60, 1)}"]


# the melt zone: everything that counts is stated, and the flow that it heats through is worked out here once more

ZONE_MM, DIFFUSIVITY, FLOW_C, INLET_C = 20, 0.09, 150, 25
STATED_ZONE = (f"machine.melt_zone_mm={ZONE_MM}", f"filament.diffusivity_mm2_per_s={DIFFUSIVITY}", f"filament.flow_temperature_c={FLOW_C}")
BESSEL_ROOTS = (2.404825558, 5.520078110, 8.653727913, 11.79153444, 14.93091771)  # of J0, Abramowitz and Stegun, table 9.5
BESSEL_SLOPES = (0.5191474973, -0.3402648066, 0.2714522999, -0.2324598314, 0.2065464331)  # J1 at them, ibid.


def heated_flow(nozzle_c):
    """Flow in mm³/s whose core just reaches the flow temperature: a cylinder heated from outside (Carslaw and Jaeger 1959, 7.6)."""
    wanted = (FLOW_C - nozzle_c) / (INLET_C - nozzle_c)
    low, high = 0.01, 5.0  # αt/R²
    for _ in range(60):
        middle = (low + high) / 2
        left = sum(2 / (root * slope) * math.exp(-(root**2) * middle) for root, slope in zip(BESSEL_ROOTS, BESSEL_SLOPES))
        low, high = (middle, high) if left > wanted else (low, middle)
    return math.pi * DIFFUSIVITY * ZONE_MM / low


def slab(name, speed, bead=None, nozzle_c=210, relative=False, settings=jobs.PLA, retraction=0.8, layers=3, bed_c=60):
    """A plate of long lines, all laid at one speed."""
    bead = bead or Bead(0.9, 0.4)
    bench = Bench(nozzle_c=nozzle_c, bed_c=bed_c, relative_e=relative, first_bead=bead, bead=bead, retraction=retraction,
                  first_speed=min(speed, 30))
    path = jobs.begin(bench)
    outline = rounded_rectangle(20, 30, 130, 60, 3)
    for layer in range(layers):
        path.begin_layer(bead.height * (layer + 1))
        path.say("outer perimeter")
        path.loop(inset(outline, bead.width / 2), path.speed(speed))
        path.say("bottom fill" if layer == 0 else "top fill" if layer == layers - 1 else "solid fill")
        region = inset(outline, bead.width / 2 + 0.5 * bead.spacing)
        depth = max(y for _, y in region) - min(y for _, y in region)
        for run in fill_runs([region], depth / math.ceil(depth / bead.spacing), 0):
            path.path(run, path.speed(speed))
    path.finish()
    return jobs.job(name, path, (*settings, "machine.nozzle_diameter_mm=0.8", *STATED_ZONE, *WITHOUT_RAMPS))


def slabs(settings=jobs.PLA, retraction=0.8):
    return [slab("slab at 210 °C", 20, settings=settings, retraction=retraction),
            slab("slab at 200 °C, relative E", 18, nozzle_c=200, relative=True, settings=settings, retraction=retraction),
            slab("slab at 220 °C", 24, Bead(0.85, 0.35), 220, settings=settings, retraction=retraction)]


def speed_for(job, flow):
    """Speed at which the long lines of a slab ask for this flow."""
    line = max((step for step in job.steps if step.bead and step.layer > 1), key=lambda step: step.path)
    return flow / (line.fed * FILAMENT_MM2 / line.path)


def nozzle_of(job):
    return max(step.words["S"] for step in job.steps if step.command == "M109")


def _too_fast(job, flow, filament_mm, count, name):
    """For some places of a job: the beads of so much filament laid at this flow."""
    beads = [step for step in job.steps if step.bead and step.layer > 1]
    # Sixty beads on end without a travel between them, long lines among them.
    begins = [begin for begin in range(len(beads) - 60)
              if beads[begin + 60].index - beads[begin].index == 60 and beads[begin + 1].path > 100]
    for begin in pick(begins, count, f"{name} {job.name}"):
        edit, fed, last = Edit(job), 0.0, begin
        while fed < filament_mm:
            fed += beads[last].fed
            last += 1
        edit.speed_up(beads[begin].index, beads[last - 1].index, speed_for(job, flow))
        behind = last
        while behind < len(beads) - 1 and fed < filament_mm + ZONE_MM:
            fed += beads[behind].fed
            behind += 1
        edit.mark(beads[begin].index, beads[behind].index)
        yield edit


@seed(
    "excess-flow",
    "four zones' worth of filament at {over} × 0.65 (warning) and {over} × (error) the flow that is heated through",
    "{under} ×",
)
def excess_flow(below):
    for job in slabs():
        for severity, share in (("warning", 0.65), ("error", 1)):
            for edit in _too_fast(job, size(below) * share * heated_flow(nozzle_of(job)), 4 * ZONE_MM, 3, severity):
                yield edit.trial(severity)


SOFT_PA_S, SOFT_AT, SOFT_N = 300, 1000, 0.4  # what docs/checks.md takes for soft filament


def soft_force(flow, orifice):
    """Force in N that pushes soft filament at this flow in mm³/s: a barrel of 10 × 2 mm, a cone of 60°, a land of 0.6 mm; Bird et al."""
    n, consistency = SOFT_N, SOFT_PA_S * SOFT_AT ** (1 - SOFT_N)
    rate = (3 * n + 1) / n * flow / math.pi

    def tube(length, radius):
        return 2 * consistency * length / radius * (rate / radius**3) ** n

    cone = 2 * consistency / (3 * n * math.tan(math.radians(30))) * rate**n * ((orifice / 2) ** (-3 * n) - 1)
    return (tube(10, 1) + cone + tube(0.6, orifice / 2)) * 1e-6 * FILAMENT_MM2


@seed(
    "high-feed-pressure",
    "four zones' worth at {over} × 0.9 of the flow that is heated through, by a guide tube; soft filament pushed {over} "
    "× as hard as bends it",
    "{under} ×",
)
def high_feed_pressure(below):
    for job in slabs(jobs.GUIDE_TUBE, 5):
        for edit in _too_fast(job, size(below) * 0.9 * heated_flow(nozzle_of(job)), 4 * ZONE_MM, 3, "pressure"):
            yield edit.trial("note")
    tpu = ("filament.material=tpu", "machine.drive=direct", "checks.high-feed-pressure.unsupported_mm=5")
    for job in (slab("slab of soft filament", 10, nozzle_c=225, settings=tpu, bed_c=50),
                slab("slab of soft filament, relative E", 8, Bead(0.85, 0.35), 220, True, tpu, bed_c=50)):
        flow = 20.0
        bends_n = soft_force(flow, 0.8) / size(below)
        modulus = bends_n * (0.7 * 5) ** 2 / (math.pi**2 * math.pi * 1.75**4 / 64)
        for edit in _too_fast(job, flow, 2 * ZONE_MM, 3, "soft"):
            yield edit.trial("warning", (f"filament.modulus_mpa={modulus:.4f}",))


STEP_RATIO, STEP_SHARE = 4, 0.5


@seed(
    "flow-step",
    "single lines at {over} × 4 times the flow before and {over} × 0.5 of what is heated through, 8 in a job",
    "{under} × 4 times",
)
def flow_step(below):
    for bead, nozzle_c, relative in ((None, 210, False), (Bead(0.85, 0.35), 200, True)):
        flow = OVER * STEP_SHARE * heated_flow(nozzle_c)
        slow = flow / (size(below) * STEP_RATIO) / (bead or Bead(0.9, 0.4)).area
        job = slab(f"slow slab at {nozzle_c} °C", slow, bead, nozzle_c, relative)
        edit = Edit(job)
        lines = [step for step in job.steps if step.bead and step.layer > 1 and step.path > 100]
        for step in pick(lines, 8, f"flow-step {job.name}"):
            edit.speed_up(step.index, step.index, speed_for(job, flow))
            edit.mark(step.index)
        yield edit.trial("note")


JUMP_MM, LUMP_MM, PUSH_MM, THIN_SHARE, WIDE_SHARE = 100, 5, 1000, 0.5, 0.05


@seed(
    "implausible-bead",
    "{over} × 100 mm and {over} × 5 mm of filament in one short bead, {over} × 1000 mm pushed standing; {over} × 0.5 of "
    "the length thinner than high, {over} × 0.05 too wide; E read in the wrong mode",
    "{under} ×; the right mode",
)
def implausible_bead(below):
    for job in jobs.general():
        beads = [step for step in job.steps if step.bead and step.layer > 1]
        for severity, more, longest in (("error", JUMP_MM, 80), ("warning", LUMP_MM, 3.5)):
            edit = Edit(job)
            for step in pick([step for step in beads if step.path < longest], 2, f"{severity} {job.name}"):
                edit.feed_more(step.index, size(below) * more - step.fed)
                edit.mark(step.index)
            yield edit.trial(severity)
        for step in pick(beads, 1, f"push {job.name}"):
            edit = Edit(job)
            push = [f"G1 E{number(size(below) * PUSH_MM, 1)} F600", f"G1 F{number(step.speed * 60, 1)}"]
            edit.after(step.index, *(push if edit.relative_e else ["G92 E0", *push, f"G92 E{number(step.e, 5)}"]))
            edit.mark(step.index)
            yield edit.trial("error")
        if job.settings:
            yield _many_beads(job, below, THIN_SHARE, 0.5)
            yield _many_beads(job, below, WIDE_SHARE, 8.5)
        edit = Edit(job)
        mode = next(step for step in job.steps if step.command in ("M82", "M83"))
        if not below:
            edit.replace(mode.index, "M82" if mode.command == "M83" else "M83")
        edit.mark(mode.index, len(job.lines) - 1)
        yield edit.trial("error")


def _many_beads(job, below, share, widths):
    """Beads `widths` times as wide as high over so much of the printed length that it counts, or less."""
    beads = [step for step in job.steps if step.bead]
    height = min(step.end[2] for step in beads)
    area = (widths - 1) * height**2 + math.pi * height**2 / 4
    left_mm = size(below) * share * sum(step.path for step in beads)
    edit = Edit(job)
    for step in beads[len(beads) // 10 :]:
        if left_mm < 0:
            break
        left_mm -= step.path
        edit.feed_more(step.index, step.path * area / FILAMENT_MM2 - step.fed)
        edit.mark(step.index)
    edit.marked = [(edit.marked[0][0], edit.marked[-1][1])]
    nozzle = () if any("nozzle" in setting for setting in job.settings) else ("machine.nozzle_diameter_mm=0.4",)
    return edit.trial("warning", (*nozzle, "machine.filament_diameter_mm=1.75"))


LONGEST_MM = {"direct": 3, "bowden": 8}
FASTEST_MM_PER_S = 80


@seed("long-retraction", "{over} × the longest of the stated drive, {over} × the 80 mm/s", "{under} ×")
def long_retraction(below):
    for job in jobs.general():
        drive = next((setting.split("=")[1] for setting in job.settings if "drive" in setting), "")
        pulls = [step for step in job.steps if step.pull]
        pulls = [step for step in pulls if first_bead(job) < step.index < pulls[-1].index]
        if not drive or len(pulls) < 8:
            continue
        edit = Edit(job)
        for step in pick(pulls, 5, f"long {job.name}"):
            edit.pull_back(step, size(below) * LONGEST_MM[drive])
            edit.mark(step.index)
        yield edit.trial("warning")

        edit = Edit(job)
        for step in pick(pulls, 5, f"fast {job.name}"):
            edit.with_word(step.index, "F", 60 * size(below) * FASTEST_MM_PER_S, 0)
            edit.mark(step.index)
            later = next(later for later in job.steps[step.index + 1 :] if later.moves)
            edit.with_word(later.index, "F", 60 * later.speed, 1)
        yield edit.trial("warning")


DRIFT_MM, PRIMES = 5, 10


@seed(
    "unbalanced-retraction",
    "ten primes that give back 0.55 mm too little or too much: {over} × 5 mm a job, {over} × 0.5 mm at one place",
    "{under} × 5 mm a job, not even a note",
)
def unbalanced_retraction(below):
    each = size(below) * DRIFT_MM / PRIMES
    for job in jobs.general():
        pulled = next((-step.fed for step in job.steps if step.pull), 0)
        primes = [step for step in job.steps if step.prime and step.layer > 1 and _fed_before_next_pull(job, step) > 1.5]
        if len(primes) < 2 * PRIMES:
            continue
        for sign in (-1, 1):
            edit = Edit(job)
            for step in pick(primes, PRIMES, f"prime {sign} {job.name}"):
                edit.feed_more(step.index, sign * each)
                edit.mark(step.index, step.index + 3)
            if pulled > each:
                yield edit.trial("note" if below else "warning")


def _fed_before_next_pull(job, prime):
    fed = 0.0
    for step in job.steps[prime.index + 1 :]:
        if step.pull:
            break
        fed += step.fed
    return fed


RESERVE_MM, PLA_G_PER_CM3 = 100, 1.24


@seed(
    "short-spool",
    "a job that takes {over} × what is usable of the spool, by length or by mass; the line where it ends",
    "{under} ×",
)
def short_spool(below, given=None):
    for count, job in enumerate(given or jobs.general()):
        fresh, owed, runs = 0.0, 0.0, []
        for step in job.steps:
            owed -= step.fed
            if owed < 0:
                fresh, owed = fresh - owed, 0.0
            runs.append(fresh)
        usable = fresh / size(below)
        line = next((index + 1 for index, fed in enumerate(runs) if fed > usable), len(runs))
        stated = usable + RESERVE_MM
        setting = [f"filament.spool_length_mm={stated:.4f}"]
        if count % 2:
            mass_g = stated * FILAMENT_MM2 * PLA_G_PER_CM3 / 1000
            setting = [f"filament.spool_mass_g={mass_g:.6f}", f"filament.density_g_per_cm3={PLA_G_PER_CM3}"]
        settings = (*job.settings, *setting, "machine.filament_diameter_mm=1.75")
        yield Trial(job.text, settings, [(line, line)], "error", (job.text, job.settings), job.name)


LEAST_PULL_MM = 0.2


@seed(
    "unready-filament-change",
    "M600 or a stop in the middle of a bead; a stop with only 1 / {over} of the 0.2 mm pulled back",
    "between two beads, lifted, 0.2 mm / {under} pulled back",
)
def unready_filament_change(below):
    for job in jobs.general():
        beads = [step.index for step in job.steps if step.bead]
        middles = [at for at, after in zip(beads, beads[1:])
                   if after == at + 1 and job.steps[after].layer == job.steps[at].layer > 1 and "fill" not in job.comment_at(at)]
        edit = Edit(job)
        pulls = [step for step in job.steps if step.pull and step.layer > 1][:-1]
        for count, index in enumerate(pick(middles, 4, f"change {job.name}") if not below else []):
            edit.after(index, ("M600", "M0")[count % 2])
            edit.mark(index)
        for step in pick(pulls, 3, f"stop {job.name}"):
            travel = next(later for later in job.steps[step.index:] if later.travel)
            edit.pull_back(step, LEAST_PULL_MM / size(below))
            edit.after(travel.index, "M0")
            edit.mark(travel.index)
        yield edit.trial("warning")
