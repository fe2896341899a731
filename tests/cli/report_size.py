#!/usr/bin/env python3
"""However many faults a job has and however long what stands in it, a report of check has about the same size.

    python3 tests/cli/report_size.py BEADWISE

Each kind of hostile job is written with some faults and with ten times as many, or with words of some bytes and of
hundreds of times as many. Of the larger one each report must have at most half as many bytes again as of the smaller one,
and 4 kB for more digits and more places of findings that few places had been kept of.
"""

import os
import random
import subprocess
import sys
import tempfile

beadwise = os.path.realpath(sys.argv[1])
formats = ["json", "sarif", "html", "junit", "markdown", "text"]
few, many = 2_000, 20_000
short, long = 3_000, 1_000_000
most_growth, spare_bytes = 1.5, 4_000
# A page has pictures of at most 60 layers and 600,000 pieces of beads (docs/reports.md); the rest is far smaller.
most_bytes = {"json": 250_000, "sarif": 1_500_000, "html": 4_000_000, "junit": 60_000, "markdown": 80_000, "text": 120_000}
start = "M104 S210\nM140 S60\nG28\nM109 S210\nM190 S60\nG21\nG90\nM83\n"
end = "M104 S0\nM140 S0\nM84\n"
passed = 0
failed = 0


def square(z, x=100.0, y=100.0, side=10.0, e=0.3):
    right, back = x + side, y + side
    return (f"G1 Z{z:.3f} F600\nG0 X{x} Y{y} F6000\nG1 X{right} Y{y} E{e} F1800\nG1 X{right} Y{back} E{e}\n"
            f"G1 X{x} Y{back} E{e}\nG1 X{x} Y{y} E{e}\n")


def cell(i, z=0.2):
    """One of many small parts on a plate."""
    return square(z, (i % 300) * 3, (i // 300) * 3, 1, 0.05)


numbers = random.Random(1)


def any_move(i):
    code = numbers.choice([0, 1, 1, 1, 2, 3])
    x, y, z = numbers.uniform(-500, 500), numbers.uniform(-500, 500), numbers.uniform(-5, 300)
    e, f = numbers.uniform(-10, 10), numbers.uniform(1, 50000)
    return f"G{code} X{x:.3f} Y{y:.3f} Z{z:.2f} E{e:.3f} I{x / 99:.2f} J{y / 99:.2f} F{f:.0f}\n"


by_number = {
    "unknown commands, each another one": lambda i: f"M{10000 + i}\n",
    "macros, each another one": lambda i: f"MACRO_{i} KEY={i} NAME=\"{'x' * 50}\"\n",
    "macros that may heat": lambda i: f"PRINT_START_{i} EXTRUDER_TEMP={200 + i % 50}\n",
    "words that cannot be read": lambda i: f"G1 X{{speed{i}}} Y#{i}\nGOX{i}\n",
    "stray text": lambda i: f"?stray text number {i} \x1b[31m\xff\n",
    "wrong checksums": lambda i: f"N{i} G1 X{i % 100}*{i * 7 % 300}\n",
    "layers": lambda i: square(0.2 * (i + 1)),
    "objects": cell,
    "objects with names": lambda i: (f"; object part_{i}_{'n' * 100}\nEXCLUDE_OBJECT_START NAME=p{i}_{'k' * 100}\n"
                                     f"M486 S{i}\nM486 A{'q' * 100}{i}\n" + cell(i)),
    "changes of settings": lambda i: (f"M104 S{180 + i % 80}\nM106 S{i % 255}\nM204 S{500 + i % 3000}\n"
                                      f"M221 S{80 + i % 40}\nM220 S{50 + i % 100}\n" + cell(i)),
    "changes of tools": lambda i: f"T{i % 4}\nM104 S{150 + i % 120}\nG1 E-9 F9000\n" + cell(i),
    "moves at random": any_move,
    "retractions": lambda i: (f"G1 E-{1 + i % 7} F{600 + i % 9000}\nG0 X{i % 200} Y{i * 7 % 200}\nG1 E{1 + i % 7}\n"
                              f"G1 X{i * 3 % 200} Y{i * 11 % 200} Z{0.2 + 0.2 * (i // 200):.2f} E{i % 5}\n"),
    "waits and temperatures": lambda i: (f"M109 S{150 + i * 13 % 200}\nG4 S{i % 90}\n"
                                         + square(0.2 + 0.2 * (i // 10), i * 37 % 250)),
    "comments of the trade": lambda i: f";infill bridge {i}\n;layer {i}\n" + square(0.2 + 0.2 * (i // 5), i % 5 * 30),
    "arcs that cannot be": lambda i: f"G2 X{i % 200} Y{i * 3 % 200} I{i % 7} J0 R{i % 5} E.1\n",
    "pauses": lambda i: f"M600\nM0 wait for {i}\nM25\n" + square(0.2 + 0.2 * (i // 5), i % 5 * 30),
    "homing in the middle": lambda i: f"G28 X\nG92 X{i % 9} E{i}\n" + square(0.2 + 0.2 * (i // 50), i % 50 * 4, 100, 2),
}

by_length = {
    "names of macros": lambda x: f"PRINT_{x}\nPRINT_START_{x} EXTRUDER_TEMP=230 BED={x}\n@{x} a b\n",
    "numbers of commands": lambda x: f"M1{x}\nG9{x}\nT8{x}\n".replace("x", "1"),
    "values that cannot be read": lambda x: f"G1 X{{{x}}} Y[{x}]\nG1 X\"{x}\"\nGO{x}\n{x}\n?{x}\n/{x}\n%{x}\n",
    "comments": lambda x: f"; {x}\n;layer {x}\n; filament_type = {x}\n; material: pla {x}\n({x}\n; nozzle {x}\n",
    "messages and names of objects": lambda x: f"M117 {x}\nM23 {x}\nM486 A{x}\nEXCLUDE_OBJECT_DEFINE NAME={x}\nM624 {x}\n",
    "checksums": lambda x: f"N1 G1 X1*{x}\nN2 G1 {x}*55\n".replace("x", "7"),
    "numbers": lambda x: f"G1 X1{x} Y0.{x} F9{x}\nM104 S9{x}\nG4 S9{x}\nG2 X1 Y1 I1{x} R2{x}\n".replace("x", "9"),
    "settings": lambda x: f"SET_HEATER TARGET=230 HEATER={x}\nSET_LIMIT ACCEL=9{x}\n",
}


def sizes_of(name):
    reports = [f"report.{form}" for form in formats]
    outs = [word for form in formats for word in ("--out", f"{form}=report.{form}")]
    done = subprocess.run([beadwise, "check", "--quiet", "--gate", "none", *outs, name], stdout=subprocess.DEVNULL,
                          stderr=subprocess.PIPE, check=False)
    if done.returncode != 0:
        return done.stderr.decode(errors="replace")
    return [os.path.getsize(report) for report in reports]


def fact(what, smaller, larger):
    global passed, failed
    for name, job in (("smaller.gcode", smaller), ("larger.gcode", larger)):
        with open(name, "w", encoding="latin-1") as file:
            file.write(job)
    before, after = sizes_of("smaller.gcode"), sizes_of("larger.gcode")
    holds = isinstance(before, list) and isinstance(after, list)
    holds = holds and all(a <= b * most_growth + spare_bytes for b, a in zip(before, after))
    holds = holds and all(size <= most_bytes[form] for form, size in zip(formats, after))
    passed, failed = passed + holds, failed + (not holds)
    print(f"{'holds' if holds else 'FAILS'}: the size of every report is bounded: {what}")
    if not holds:
        print(f"  {formats}\n  {before}\n  {after}")


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    for kind, line in by_number.items():
        jobs = [start + "".join(line(i) for i in range(count)) + square(0.2) + end for count in (few, many)]
        fact(f"{few} and {many} {kind}", *jobs)
    letter = "".join(f"line {i} of a letter to somebody\n" for i in range(many))
    fact("a letter of many lines, no print", letter[: len(letter) // 10], letter)
    for kind, lines in by_length.items():
        jobs = [start + lines("x" * count) + square(0.2) + square(0.4) + end for count in (short, long)]
        fact(f"{short} and {long} bytes in {kind}", *jobs)
    fact("a last line without end", *(start + square(0.2) + "G1 X" + "x" * count for count in (short, long)))
    os.chdir("/")

print(f"{passed} passed, {failed} failed")
sys.exit(failed > 0)
