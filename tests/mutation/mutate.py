#!/usr/bin/env python3
"""Breaks the checks, one comparison, constant or early return at a time, and tells which breaks no test sees.

    python3 tests/mutation/mutate.py [CHECK…] [--most N] [--again] [--wide] [--list]

All breaks are written into one copy of the tree below build-mutation/, each behind a switch, so that it is built once and a
mutant is a run of a tenth of a second. The tree itself is never written to. See docs/mutation.md."""

import argparse
import concurrent.futures
import hashlib
import json
import os
import pickle
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from find_mutants import Finder, switched

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "build-mutation"
COPY = FOLDER / "tree"
BUILD = COPY / "build"
ORDER = ["limit", "comparison", "threshold", "severity", "logic", "return", "constant", "condition", "arithmetic", "bool"]


def write_if_other(path: Path, content: bytes):
    if path.exists() and path.read_bytes() == content:
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)


def copy_tree(leave):
    """The tree as it is now, without the sources that get switches; what is gone is removed."""
    listed = subprocess.run(["git", "ls-files", "-co", "--exclude-standard"], cwd=ROOT, capture_output=True, text=True, check=True)
    names = {name for name in listed.stdout.split("\n") if name and (ROOT / name).is_file()}
    for name in sorted(names - leave):
        write_if_other(COPY / name, (ROOT / name).read_bytes())
    for old in list((COPY / "lib/src/checks").rglob("*.gcode")):
        if str(old.relative_to(COPY)) not in names:
            old.unlink()
    # Appended to the copy: switches warn a lot, and a debugger is not wanted.
    lib = (ROOT / "lib/CMakeLists.txt").read_text()
    lib += ("\nfile(GLOB mutated ${CMAKE_CURRENT_SOURCE_DIR}/src/checks/*/check.cpp)\n"
            'set_source_files_properties(${mutated} PROPERTIES COMPILE_OPTIONS "-w;-O1;-include;'
            '${PROJECT_SOURCE_DIR}/tests/mutation/mutants.hpp")\n')
    write_if_other(COPY / "lib/CMakeLists.txt", lib.encode())
    tests = (ROOT / "tests/CMakeLists.txt").read_text()
    tests += ("\nadd_executable(examples_of_check mutation/examples_of_check.cpp checks/judge.cpp checks/page.cpp)\n"
              "target_link_libraries(examples_of_check PRIVATE beadwise_test_support)\n")
    write_if_other(COPY / "tests/CMakeLists.txt", tests.encode())


def found_before(finder):
    """What the finder finds; kept, as long as neither the check nor the finder changes."""
    folder = ROOT / "lib/src/checks" / finder.check
    digest = hashlib.sha256((Path(__file__).parent / "find_mutants.py").read_bytes())
    for path in sorted([*folder.glob("*.cpp"), *folder.glob("*.hpp")]):
        digest.update(path.read_bytes())
    kept = FOLDER / "found" / (finder.check + "-" + digest.hexdigest()[:16])
    if not kept.exists():
        kept.parent.mkdir(parents=True, exist_ok=True)
        kept.write_bytes(pickle.dumps(finder.find()))
    return pickle.loads(kept.read_bytes())


def sampled(edits_by_file, most):
    """At most so many mutants of a check, spread evenly over it; comparisons and thresholds first."""
    edits = [edit for edits in edits_by_file.values() for edit in edits]
    if not most:
        return edits
    chosen, count = [], 0
    for kind in ORDER:
        of_kind = [edit for edit in edits if edit.mutants[0].kind == kind]
        room = most - count
        size = sum(len(edit.mutants) for edit in of_kind)
        step = max(1.0, size / room) if room > 0 else 0
        if step:
            picked = [of_kind[int(index * step)] for index in range(int(len(of_kind) / step))]
            chosen += picked
            count += sum(len(edit.mutants) for edit in picked)
    return chosen


def build(targets):
    environment = dict(os.environ, CCACHE_BASEDIR=str(COPY), CCACHE_NOHASHDIR="1")
    if not (BUILD / "build.ninja").exists():
        subprocess.run(["cmake", "-S", str(COPY), "-B", str(BUILD), "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Release",
                        "-DBEADWISE_DEVELOPER=ON"], env=environment, check=True, stdout=subprocess.DEVNULL)
    done = subprocess.run(["nice", "-n", "3", "ninja", "-C", str(BUILD), "-k0", *targets], env=environment, capture_output=True,
                          text=True)
    return done.returncode, done.stdout + done.stderr


def build_switched(edits, sources, targets):
    """Builds; a mutant that does not compile behind a switch is left out and the rest is built again."""
    left_out = []
    for _ in range(8):
        for file, of_file in edits.items():
            write_if_other(COPY / "lib" / file, switched(sources[file], of_file, lambda edit: edit not in left_out))
        status, output = build(targets)
        if status == 0:
            return left_out
        wrong = set(re.findall(r"checks/(\w+/[\w.]+):(\d+):\d+: error", output))
        wrong |= set(re.findall(r"checks/(\w+/[\w.]+):(\d+):\d+:   (?:required|in) ", output))
        new = [edit for file, of_file in edits.items() for edit in of_file
               if edit not in left_out and (file[len("src/checks/"):], str(edit.line)) in wrong]
        if not new:
            sys.exit(output[-4000:])
        left_out += new
        print(f"{len(new)} places do not compile behind a switch; without them", flush=True)
    sys.exit("still does not compile")


def run(command, mutant=0, reached=None, timeout=30):
    environment = dict(os.environ, BEADWISE_MUTANT=str(mutant))
    if reached:
        environment["BEADWISE_MUTANTS_REACHED"] = reached
    try:
        done = subprocess.run(command, cwd=COPY, env=environment, capture_output=True, timeout=timeout)
    except subprocess.TimeoutExpired:
        return "does not end", b""
    if done.returncode < 0:
        return "crashes", b""
    return ("fails" if done.returncode else ""), done.stdout


def reach(command):
    """The output of an unbroken run and the switches that it passes."""
    with tempfile.TemporaryDirectory() as folder:
        why, output = run(command, 0, folder, 900)
        if why:
            sys.exit("without a mutant: " + " ".join(command) + " " + why + "\n" + output.decode()[-2000:])
        return output, {int(number) for file in Path(folder).iterdir() for number in file.read_text().split()}


def judge(mutants):
    """Each mutant's fate: killed, "text" where only what a finding says changed, "same", "not reached"."""
    fates = {}
    programs = {check: [str(BUILD / "tests/examples_of_check"), check.replace("_", "-"), "plates"]
                for check in {mutant.check for mutant in mutants}}
    bases = {check: reach(command) for check, command in programs.items()}

    def fate(mutant):
        base, reached = bases[mutant.check]
        if mutant.switch not in reached:
            return "not reached"
        why, output = run(programs[mutant.check], mutant.id)
        print(".", end="", file=sys.stderr, flush=True)
        return "killed" if why else "same" if output == base else "text"

    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        for mutant, one in zip(mutants, pool.map(fate, mutants)):
            fates[mutant.id] = one
    return fates


def wide(mutants, fates):
    """What the cases leave alive, against the tests on letters and the recorded reports, where they pass its switch."""
    letters = [str(BUILD / "tests/test_property"), "--no-intro", "--abort-after=1", "-sf=*thin_stroke_test*,*upright_lettering_test*"]
    commands = [letters, ["bash", "tests/golden/run.sh", str(BUILD / "cli/beadwise"), "."]]
    passed = [(command, reach(command)[1]) for command in commands]

    def is_killed(mutant):
        return any(mutant.switch in reached and run(command, mutant.id, timeout=600)[0] for command, reached in passed)

    alive = [mutant for mutant in mutants if fates[mutant.id] not in ("killed", "equivalent")]
    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        for mutant, killed in zip(alive, pool.map(is_killed, alive)):
            if killed:
                fates[mutant.id] = "killed"


def equivalents():
    """Mutants that change nothing, with the reason, from equivalent.tsv."""
    found = {}
    path = Path(__file__).parent / "equivalent.tsv"
    for line in path.read_text().splitlines() if path.exists() else []:
        if line and not line.startswith("#"):
            file, code, change, reason = line.split("\t")
            found[(file, code, change)] = reason
    return found


COLUMNS = ["killed", "equivalent", "limit", "text", "same", "not reached"]


def table(mutants, fates):
    rows = ["| check | mutants | killed | change nothing | exactly at a limit | only told otherwise | unseen | not reached |",
            "| --- | --- | --- | --- | --- | --- | --- | --- |"]
    total = [0] * (1 + len(COLUMNS))
    for check in sorted({mutant.check for mutant in mutants}):
        of_check = [column(mutant, fates[mutant.id]) for mutant in mutants if mutant.check == check]
        cells = [len(of_check)] + [of_check.count(one) for one in COLUMNS]
        total = [a + b for a, b in zip(total, cells)]
        rows.append("| `" + check.replace("_", "-") + "` | " + " | ".join(map(str, cells)) + " |")
    rows.append("| all | " + " | ".join(map(str, total)) + " |")
    return "\n".join(rows)


def column(mutant, fate):
    return "limit" if mutant.kind == "limit" and fate in ("same", "text") else fate


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("checks", nargs="*")
    parser.add_argument("--most", type=int, default=0, help="mutants per check; 0 means all")
    parser.add_argument("--list", action="store_true", help="list the mutants and run none")
    parser.add_argument("--wide", action="store_true", help="try the tests on letters and the recorded reports on what is left")
    parser.add_argument("--again", action="store_true", help="run only what the last run left, with the cases of now")
    options = parser.parse_args()
    every = sorted(path.parent.name for path in (ROOT / "lib/src/checks").glob("*/check.cpp"))
    checks = [check.replace("-", "_") for check in options.checks] or every
    edits, sources = {}, {}
    finders = [Finder(ROOT, check) for check in checks]
    with concurrent.futures.ProcessPoolExecutor(2) as pool:
        every_found = list(pool.map(found_before, finders))
    for finder, found in zip(finders, every_found):
        chosen = sampled(found, options.most)
        number = 1 + 1000 * every.index(finder.check)  # does not hang on which checks are asked for
        for file, of_file in found.items():
            edits[file] = [edit for edit in of_file if edit in chosen]
            sources[file] = finder.text(file)
            for edit in edits[file]:
                for mutant in edit.mutants:
                    mutant.id, mutant.switch = number, edit.mutants[0].id or number
                    number += 1
                edit.mutants[0].switch = edit.mutants[0].id
    mutants = [mutant for of_file in edits.values() for edit in of_file for mutant in edit.mutants]
    if options.list:
        for mutant in mutants:
            print(f"{mutant.file}:{mutant.line}:{mutant.column}: {mutant.kind}: {mutant.change}")
        print(len(mutants), "mutants")
        return
    # Another check that has its switches keeps them: it need not be built again.
    switched_before = {str(path.relative_to(COPY)) for path in (COPY / "lib/src/checks").glob("*/*.?pp")
                       if b"::mutants::" in path.read_bytes()}
    copy_tree({"lib/" + file for file in edits} | switched_before | {"lib/CMakeLists.txt", "tests/CMakeLists.txt"})
    targets = ["examples_of_check"]
    if options.wide:
        targets += ["test_property", "beadwise_cli"]
    left_out = build_switched(edits, sources, targets)
    dropped = {mutant.id for edit in left_out for mutant in edit.mutants}
    mutants = [mutant for mutant in mutants if mutant.id not in dropped]
    state = FOLDER / "fates.json"
    before = {tuple(key): fate for key, fate in json.loads(state.read_text())} if state.exists() else {}
    known = equivalents()
    fates = {}
    for mutant in mutants:
        if mutant.key in known:
            fates[mutant.id] = "equivalent"
        elif options.again and before.get(mutant.place) == "killed":
            fates[mutant.id] = "killed"
    fates.update(judge([mutant for mutant in mutants if mutant.id not in fates]))
    if options.wide:
        wide(mutants, fates)
    for mutant in mutants:
        before[mutant.place] = fates[mutant.id]
    state.write_text(json.dumps([[list(key), fate] for key, fate in before.items()]))
    for mutant in mutants:
        if fates[mutant.id] not in ("killed", "equivalent"):
            print(f"{mutant.file}:{mutant.line}:{mutant.column}: {fates[mutant.id]}: {mutant.kind}: {mutant.change}\n    {mutant.code}")
    print(f"{len(dropped)} not behind a switch")
    print(table(mutants, fates))


if __name__ == "__main__":
    main()
