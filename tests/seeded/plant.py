"""How faults are put into a clean job so that their lines stay known."""

import random
import re
from dataclasses import dataclass

from follow import follow

OVER, UNDER = 1.1, 0.9  # size of what is planted, and of what must pass, in units of the limit


@dataclass
class Job:
    """A clean job: its name, its lines and what is stated about machine and filament (`--set`)."""

    name: str
    lines: list
    settings: tuple = ()

    def __post_init__(self):
        self.steps = follow(self.lines)

    @property
    def text(self):
        return "\n".join(self.lines) + "\n"

    def comment_at(self, index):
        """What the last comment before a line says."""
        return next((line for line in reversed(self.lines[: index + 1]) if line.startswith(";")), "")


@dataclass
class Trial:
    """One file with faults at known lines (first, last; from 1), and the clean file that it was made from."""

    text: object
    settings: tuple
    faults: list
    severity: str
    clean: tuple
    job: str = ""


class Edit:
    """Changes of a job, line by line; counts the lines when all is done."""

    def __init__(self, job):
        self.job = job
        self.slots = [[line] for line in job.lines]
        self.marked = []

    def replace(self, index, *lines):
        self.slots[index] = list(lines)

    def before(self, index, *lines):
        self.slots[index] = list(lines) + self.slots[index]

    def after(self, index, *lines):
        self.slots[index] += list(lines)

    def mark(self, first, last=None):
        """What the lines `first` to `last` of the clean job have become is a fault."""
        self.marked.append((first, first if last is None else last))

    def with_word(self, index, letter, value, decimals=5):
        """The line with one word set anew, or added."""
        word = f"{letter}{number(value, decimals)}"
        line = self.slots[index][-1]
        told, _, comment = line.partition(";")
        changed = re.sub(rf"{letter}[+-]?[\d.]+", word, told, count=1)
        if changed == told and word not in told:
            changed = f"{told.rstrip()} {word}"
        self.slots[index][-1] = changed + (f" ;{comment}" if comment else "")

    def feed_more(self, index, by):
        """The line feeds `by` mm of filament more; what follows is as before."""
        step = self.job.steps[index]
        if self.relative_e:
            self.with_word(index, "E", step.fed + by)
        else:
            self.with_word(index, "E", step.e + by)
            self.after(index, f"G92 E{number(step.e, 5)}")

    @property
    def relative_e(self):
        modes = [step.command for step in self.job.steps if step.command in ("M82", "M83")]
        return bool(modes) and modes[-1] == "M83"

    def speed_up(self, first, last, speed):
        """The beads from `first` to `last` are laid at `speed` mm/s; everything else goes as before."""
        for step in self.job.steps[first : last + 1]:
            if step.moves:
                self.with_word(step.index, "F", 60 * (speed if step.bead else step.speed), 2)
        after = next((step for step in self.job.steps[last + 1 :] if step.moves), None)
        if after:
            self.with_word(after.index, "F", after.speed * 60, 2)

    def pull_back(self, step, length):
        """The pull of this step is `length` mm long instead, and the prime that follows gives as much back."""
        prime = next(later for later in self.job.steps[step.index + 1 :] if later.prime)
        if self.relative_e:
            self.with_word(step.index, "E", -length)
            self.with_word(prime.index, "E", prime.fed + step.fed + length)
        else:
            self.with_word(step.index, "E", step.e - step.fed - length)

    def lines(self):
        return [line for slot in self.slots for line in slot]

    def faults(self):
        begins = [0]
        for slot in self.slots:
            begins.append(begins[-1] + len(slot))
        return [(begins[first] + 1, max(begins[last + 1], begins[first] + 1)) for first, last in self.marked]

    def trial(self, severity, settings=(), end="\n"):
        """The file as changed; `settings` are stated for the clean job, too."""
        settings = tuple(self.job.settings) + tuple(settings)
        text = "\n".join(self.lines()) + end
        return Trial(text, settings, self.faults(), severity, (self.job.text, settings), self.job.name)


def number(value, decimals=3):
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".") if decimals else f"{value:.0f}"
    return "0" if text in ("-0", "") else text


def pick(candidates, count, seed):
    """So many of the candidates, spread over all of them; the same for the same seed."""
    candidates = list(candidates)
    if len(candidates) <= count:
        return candidates
    share = len(candidates) / count
    chance = random.Random(seed)
    return [candidates[int(share * (k + 0.1 + 0.8 * chance.random()))] for k in range(count)]


SEEDS = {}


def seed(check, planted, below):
    """Makes a generator of trials the planter of a check; `planted` and `below` tell the sizes in the table."""

    def add(planter):
        SEEDS[check] = (planter, *(text.format(over=OVER, under=UNDER) for text in (planted, below)))
        return planter

    return add


def size(below):
    return UNDER if below else OVER
