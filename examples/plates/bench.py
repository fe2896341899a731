"""The print bench of the village orchard: turns beads, travels and waits into a toolpath file."""

import math
from dataclasses import dataclass


@dataclass
class Bead:
    """Cross-section of a rounded rectangle; lines at `spacing` fill a solid layer exactly."""

    width: float = 0.45
    height: float = 0.2

    @property
    def area(self):
        return (self.width - self.height) * self.height + math.pi * self.height**2 / 4

    @property
    def spacing(self):
        return self.area / self.height


@dataclass
class Bench:
    """What the machine and the filament need. Lengths in mm, speeds in mm/s, temperatures in °C."""

    nozzle_c: int = 205
    bed_c: int = 60
    fan: int = 255
    filament_diameter: float = 1.75
    retraction: float = 0.8
    retraction_speed: float = 35
    lift: float = 0.3
    relative_e: bool = False
    first_bead: Bead = None
    bead: Bead = None
    first_speed: float = 22
    outer_speed: float = 40
    perimeter_speed: float = 50
    fill_speed: float = 50
    infill_speed: float = 60
    travel_speed: float = 120

    def __post_init__(self):
        self.first_bead = self.first_bead or Bead(0.5, 0.2)
        self.bead = self.bead or Bead()


def number(value, decimals):
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class Toolpath:
    """The lines of one file and what the machine has done so far."""

    def __init__(self, bench):
        self.bench = bench
        self.lines = []
        self.x = self.y = self.z = self.e = 0.0
        self.bead = bench.first_bead
        self.layer = 0
        self.layer_z = 0.0
        self.back = 0.0
        self.feed_now = None

    def say(self, text):
        self.lines.append(f"; {text}")

    def put(self, line):
        self.lines.append(line)

    def text(self):
        return "\n".join(self.lines) + "\n"

    # heating, homing, end

    def start(self, wait=True, home=True):
        bench = self.bench
        self.say("start: millimetres, absolute places")
        for line in ("G21", "G90", "M83" if bench.relative_e else "M82", "M107"):
            self.put(line)
        self.say("warm up")
        self.put(f"M140 S{bench.bed_c}")
        self.put(f"M104 S{160 if wait else bench.nozzle_c}")
        if home:
            self.put("G28")
        if wait:
            self.put(f"M190 S{bench.bed_c}")
            self.put(f"M109 S{bench.nozzle_c}")
        self.put("G92 E0")
        self.put(f"G0 Z5{self._speed(10)}")
        self.z = 5.0

    def prime_line(self, x=10, y=6, length=80):
        self.say("prime line")
        self.bead = self.bench.first_bead
        self.put(f"G0 X{number(x, 3)} Y{number(y, 3)}{self._speed(self.bench.travel_speed)}")
        self.put(f"G0 Z{number(self.bead.height, 3)}{self._speed(10)}")
        self.x, self.y, self.z = x, y, self.bead.height
        self.put(f"G1 E{self._feed(2)}{self._speed(5)}")
        self.line_to(x + length, y, self.bench.first_speed)

    def finish(self, nozzle_off=True):
        self.say("end: heaters off, lift, park, motors off")
        self.pull()
        if nozzle_off:
            self.put("M104 S0")
        self.put("M140 S0")
        self.put("M107")
        self.put(f"G0 Z{number(self.z + 20, 3)}{self._speed(10)}")
        self.put(f"G0 X5 Y160{self._speed(self.bench.travel_speed)}")
        self.put("M84")

    # layers

    def begin_layer(self, z):
        self.layer += 1
        self.say(f"layer {self.layer} at {number(z, 2)} mm")
        if self.layer == 2 and self.bench.fan:
            self.put(f"M106 S{self.bench.fan}")
        self.bead = self.bench.first_bead if self.layer == 1 else self.bench.bead
        self.layer_z = z

    def speed(self, usual):
        return self.bench.first_speed if self.layer == 1 else usual

    # motions

    def pull(self):
        if not self.back and self.bench.retraction:
            self.put(f"G1 E{self._feed(-self.bench.retraction)}{self._speed(self.bench.retraction_speed)}")
            self.back = self.bench.retraction

    def prime(self):
        if self.back:
            self.put(f"G1 E{self._feed(self.back)}{self._speed(self.bench.retraction_speed)}")
            self.back = 0.0

    def travel_to(self, x, y):
        """Short hops stay low; anything longer is retracted and lifted."""
        distance = math.hypot(x - self.x, y - self.y)
        if distance < 1.5 and abs(self.z - self.layer_z) < 1e-6:
            if distance > 0.002:
                self.put(f"G0 X{number(x, 3)} Y{number(y, 3)}{self._speed(self.bench.travel_speed)}")
        else:
            self.pull()
            self.put(f"G0 Z{number(self.layer_z + self.bench.lift, 3)}{self._speed(10)}")
            self.put(f"G0 X{number(x, 3)} Y{number(y, 3)}{self._speed(self.bench.travel_speed)}")
            self.put(f"G0 Z{number(self.layer_z, 3)}{self._speed(10)}")
            self.z = self.layer_z
            self.prime()
        self.x, self.y = x, y

    def line_to(self, x, y, speed, z=None, flow=1.0):
        x, y = round(x, 3), round(y, 3)
        length = math.dist((self.x, self.y, self.z), (x, y, self.z if z is None else z))
        if math.hypot(x - self.x, y - self.y) < 0.002:
            return
        climb = "" if z is None else f" Z{number(z, 4)}"
        self.put(f"G1 X{number(x, 3)} Y{number(y, 3)}{climb} E{self._bead_feed(length * flow)}{self._speed(speed)}")
        self.x, self.y, self.z = x, y, self.z if z is None else z

    def arc_to(self, x, y, center, clockwise, speed):
        """An arc of less than a full turn, or a full turn where the end is the start."""
        start = math.atan2(self.y - center[1], self.x - center[0])
        sweep = math.atan2(y - center[1], x - center[0]) - start
        sweep = (-sweep if clockwise else sweep) % (2 * math.pi)
        sweep = sweep if sweep > 1e-6 else 2 * math.pi
        length = sweep * math.hypot(self.x - center[0], self.y - center[1])
        self.put(
            f"{'G2' if clockwise else 'G3'} X{number(x, 3)} Y{number(y, 3)} I{number(center[0] - self.x, 3)}"
            f" J{number(center[1] - self.y, 3)} E{self._bead_feed(length)}{self._speed(speed)}"
        )
        self.x, self.y = round(x, 3), round(y, 3)

    def path(self, points, speed):
        self.travel_to(round(points[0][0], 3), round(points[0][1], 3))
        for x, y in points[1:]:
            self.line_to(x, y, speed)

    def loop(self, contour, speed):
        self.path(contour + contour[:1], speed)

    def reset_e(self):
        self.put("G92 E0")
        self.e = 0.0

    def _speed(self, speed):
        """F holds until it changes, so it is written only then."""
        if speed == self.feed_now:
            return ""
        self.feed_now = speed
        return f" F{speed * 60:g}"

    def _bead_feed(self, length):
        return self._feed(length * self.bead.area / (math.pi * self.bench.filament_diameter**2 / 4))

    def _feed(self, length):
        self.e += length
        return number(length if self.bench.relative_e else self.e, 5)
