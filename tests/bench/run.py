#!/usr/bin/env python3
"""Measures reading, following and judging jobs as ratios within one run, and peak memory.

    python3 tests/bench/run.py [MEGABYTES [ROUNDS]]      default: 300 MB, 5 rounds

Each round runs every program once, in turn; the ratio given is the median over the rounds, of processor time with one
thread. Peak memory is what the kernel reports for the process (ru_maxrss).
"""

import itertools
import os
import pathlib
import shutil
import statistics
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
BUILD = ROOT / "build" / "bench"
COUNTS = 10  # wc is too short to be measured once


def build():
    quiet = {"stdout": subprocess.DEVNULL, "check": True}
    subprocess.run(["cmake", "-S", ROOT, "-B", BUILD, "-DCMAKE_BUILD_TYPE=Release", "-DBEADWISE_TESTS=OFF",
                    "-DBEADWISE_BENCH=ON"], **quiet)
    subprocess.run(["cmake", "--build", BUILD, "-j", str(os.cpu_count())], **quiet)


def usage(*command):
    """Processor seconds and peak KiB of a command; its findings are no failure."""
    process = subprocess.Popen([str(word) for word in command], stdout=subprocess.DEVNULL)
    _, status, used = os.wait4(process.pid, 0)
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        sys.exit(f"failed: {command}")
    return used.ru_utime + used.ru_stime, used.ru_maxrss


def make(path, *arguments):
    with open(path, "wb") as out:
        subprocess.run([BUILD / "tests/bench/bench_make_toolpath", *map(str, arguments)], stdout=out, check=True)


def per_move(program, what, job):
    """Processor seconds per move of what something costs beyond the machine."""
    output = subprocess.run([program, "machine", job], stdout=subprocess.PIPE, text=True, check=True).stdout
    moves = int(output.split(" words, ")[1].split()[0])
    return (usage(program, what, job)[0] - usage(program, "machine", job)[0]) / moves


def layer_size(folder, read_only, rounds):
    jobs = {kind: folder / f"{kind}.gcode" for kind in ("small-layers", "large-layers")}
    for kind, job in jobs.items():
        make(job, 60, kind)
    ratios = [per_move(read_only, "stack", jobs["large-layers"]) / per_move(read_only, "stack", jobs["small-layers"])
              for _ in range(rounds)]
    print(f"layers of 200,000 beads against 2,000, cost per move of index, islands and stack: "
          f"{statistics.median(ratios):.2f} ({min(ratios):.2f} to {max(ratios):.2f})")


def told(what, ratios):
    print(f"{what}: {statistics.median(ratios):.2f} ({min(ratios):.2f} to {max(ratios):.2f})")


def elapsed(*command):
    """Seconds on the clock."""
    began = time.perf_counter()
    usage(*command)
    return time.perf_counter() - began


def planner(folder, read_only, rounds):
    """Planning twice shows what planning once costs."""
    jobs = {kind: folder / f"{kind}.gcode" for kind in ("ordinary", "short")}
    for kind, job in jobs.items():
        make(job, 60, kind)
    told("planner on short segments against ordinary, cost per move",
         [per_move(read_only, "plan", jobs["short"]) / per_move(read_only, "plan", jobs["ordinary"])
          for _ in range(rounds)])


def instructions(*command):
    """Instructions of a command as callgrind counts them."""
    counted = subprocess.run(["valgrind", "--tool=callgrind", "--callgrind-out-file=/dev/null", *map(str, command)],
                             stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=True).stderr
    return int(counted.rsplit("Collected :", 1)[1].split()[0])


def reader(folder, read_only):
    """The grammar against the plain loop, alone and with the machine behind both; without fetching the bytes."""
    if not shutil.which("valgrind"):
        print("reader against the plain loop: not counted, there is no valgrind")
        return
    for kind in ("ordinary", "text"):
        job = folder / f"{kind}-1.gcode"
        make(job, 1, kind)
        read, plain, parse, machine = (instructions(read_only, what, job)
                                       for what in ("read", "plain", "parse", "machine"))
        print(f"reader against the plain loop, instructions, {kind}: {(parse - read) / (plain - read):.2f}; "
              f"with the machine behind both {(machine - read) / (machine - parse + plain - read):.2f}")


def whole_check(folder, read_only, check, rounds):
    """The whole of `check` against reader + machine, against adding up a column, and on two cores."""
    jobs = {kind: folder / f"{kind}-100.gcode" for kind in ("ordinary", "small-layers", "large-layers")}
    for kind, job in jobs.items():
        make(job, 100, kind)
        told(f"check against reader + machine, {kind}",
             [usage(*check, job)[0] / usage(read_only, "machine", job)[0] for _ in range(rounds)])
    add_up = '{ for (i = 1; i <= NF; i++) if (substr($i, 1, 1) == "E") s += substr($i, 2) } END { print s }'
    told("check against mawk adding up E",
         [usage(*check, jobs["ordinary"])[0] / usage("mawk", add_up, jobs["ordinary"])[0] for _ in range(rounds)])
    four = [jobs["ordinary"], jobs["small-layers"]] * 2
    one_thread, two_threads = check, [*check[:2], "--threads", "2", *check[4:]]
    told("four jobs, one thread against two",
         [elapsed(*one_thread, *four) / elapsed(*two_threads, *four) for _ in range(rounds)])
    tiny = folder / "tiny.gcode"
    with jobs["ordinary"].open() as ordinary:
        tiny.write_text("".join(itertools.islice(ordinary, 20)))
    for kind, job in jobs.items():
        told(f"one job, one thread against two, {kind}",
             [elapsed(*one_thread, job) / elapsed(*two_threads, job) for _ in range(rounds)])
    told("20 lines against sh -c true",
         [sum(elapsed(*check, tiny) for _ in range(COUNTS)) / sum(elapsed("sh", "-c", "true") for _ in range(COUNTS))
          for _ in range(rounds)])


def main():
    megabytes = sys.argv[1] if len(sys.argv) > 1 else "300"
    rounds = int(sys.argv[2]) if len(sys.argv) > 2 else 5
    build()
    read_only = BUILD / "tests/bench/bench_read_only"
    check = [BUILD / "cli/beadwise", "check", "--threads", "1", "--format", "json"]
    with tempfile.TemporaryDirectory() as folder:
        job = pathlib.Path(folder) / "job.gcode"
        make(job, megabytes)
        print(f"{job.stat().st_size} bytes; {rounds} rounds; processor time, one thread")
        ratios = {}
        for _ in range(rounds):
            base = sum(usage("wc", "-l", job)[0] for _ in range(COUNTS)) / COUNTS
            for what in ("parse", "machine", "plan", "melt", "beads", "stack"):
                ratios.setdefault(what, []).append(usage(read_only, what, job)[0] / base)
            ratios.setdefault("check", []).append(usage(*check, job)[0] / base)
        for what, values in ratios.items():
            print(f"{what:10} {statistics.median(values):6.1f} times wc -l "
                  f"({min(values):.1f} to {max(values):.1f})")
        reader(pathlib.Path(folder), read_only)
        planner(pathlib.Path(folder), read_only, rounds)
        layer_size(pathlib.Path(folder), read_only, rounds)
        whole_check(pathlib.Path(folder), read_only, check, rounds)
        for size in (300, 3000):
            make(job, size)
            print(f"{size:5} MB job: peak memory {usage(*check, job)[1] / 1024:.1f} MiB")


main()
