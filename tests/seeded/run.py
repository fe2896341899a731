#!/usr/bin/env python3
"""Plants faults of known number and place into clean jobs, and counts which of them beadwise finds.

    python3 tests/seeded/run.py BEADWISE SOURCE_DIR              compares with the table of docs/performance.md
    python3 tests/seeded/run.py BEADWISE SOURCE_DIR CHECK …      prints the rows of these checks, and what was missed
    python3 tests/seeded/run.py BEADWISE SOURCE_DIR --write      writes the table anew

A fault counts as found where a finding of its check, as severe as the fault or more, has a place on the fault's own lines.
Where BEADWISE_REAL names a folder of real jobs, the faults that fit into any job are planted there, too.
"""

import json
import os
import re
import subprocess
import sys
import tempfile
from collections import Counter
from concurrent.futures import ThreadPoolExecutor

sys.dont_write_bytecode = True
BEADWISE, SOURCE = os.path.realpath(sys.argv[1]), os.path.realpath(sys.argv[2])
sys.path[:0] = [os.path.join(SOURCE, "examples", "plates"), os.path.join(SOURCE, "tests", "seeded")]

import faults_feed  # noqa: F401, each adds its planters to SEEDS
import faults_heat  # noqa: F401
import faults_motion  # noqa: F401
import faults_shape  # noqa: F401
import faults_text  # noqa: F401
import real_jobs
from plant import SEEDS

PAGE = os.path.join(SOURCE, "docs", "performance.md")
HEADING = "## Seeded faults"
RANK = {"note": 0, "warning": 1, "error": 2}
HEAD = ["| check | planted | found there | false | size of what is planted | below the limit | planted → found |",
        "| --- | --- | --- | --- | --- | --- | --- |"]


def findings_of(text, settings, *options):
    """What the program finds in a file, run in a folder without a profile."""
    stated = [word for setting in settings for word in ("--set", setting)]
    command = [BEADWISE, "check", "--format", "json", "--gate", "none", "--threads", "1", *options, *stated, "-"]
    given = text if isinstance(text, bytes) else text.encode()
    done = subprocess.run(command, input=given, capture_output=True, check=False, cwd=folder)
    if done.returncode:
        sys.exit(f"{' '.join(command)}: status {done.returncode}\n{done.stderr.decode()[:2000]}")
    return json.loads(done.stdout)["files"][0]["findings"]


def lines_told(check, text, settings, severity):
    told = findings_of(text, settings, "--only", check)
    return {place["line"] for finding in told if RANK[finding["severity"]] >= RANK[severity] for place in finding["places"]}


def found(check, trial):
    """Which of the trial's faults are told at their place, at their severity or above."""
    lines = lines_told(check, trial.text, trial.settings, trial.severity)
    return [any(first <= line <= last for line in lines) for first, last in trial.faults]


def count(check, trials, pool):
    """How many faults there are, and how many are found."""
    answers = list(pool.map(lambda trial: found(check, trial), trials))
    return sum(map(len, answers)), sum(map(sum, answers)), answers


def false_alarms(clean, pool):
    """How often each check warns of jobs into which nothing was planted, or calls them an error."""
    told = pool.map(lambda job: [finding["check"] for finding in findings_of(*job) if finding["severity"] != "note"], clean)
    return Counter(check for checks in told for check in checks)


def table(checks, pool, show):
    rows, clean = [], {}
    for check in checks:
        planter, planted, below = SEEDS[check]
        trials = list(planter(False))
        clean.update(dict.fromkeys(trial.clean for trial in trials))
        put, seen, answers = count(check, trials, pool)
        put_below, seen_below, answers_below = count(check, list(planter(True)), pool)
        rows.append([f"`{check}`", put, seen, None, planted, below, f"{put_below} → {seen_below}"])
        if show:
            show_missed(check, trials, answers)
    alarms = false_alarms(clean, pool)
    for row, check in zip(rows, checks):
        row[3] = alarms[check]
    others = {check: times for check, times in alarms.items() if check not in checks}
    return [*HEAD, *("| " + " | ".join(map(str, row)) + " |" for row in rows)], len(clean), others


def show_missed(check, trials, answers):
    for trial, answer in zip(trials, answers):
        for (first, last), seen in zip(trial.faults, answer):
            if not seen:
                print(f"missed: {check}, lines {first} to {last} of a job made from {trial.job} with {' '.join(trial.settings)}")


def section(rows, clean):
    """The page up to its table, the table, and what stands behind it."""
    with open(PAGE, encoding="utf-8") as file:
        before, heading, after = file.read().partition(HEADING)
    told, old, behind = re.match(r"(.*?)((?:^\|.*\n)+)(.*)", after, re.DOTALL | re.MULTILINE).groups()
    told = re.sub(r"\*\*\d+\*\* untouched", f"**{clean}** untouched", told)
    return before + heading + told, old.splitlines(), "\n".join(rows) + "\n" + behind


def compare(rows, clean):
    before, old, behind = section(rows, clean)
    with open(PAGE, encoding="utf-8") as file:
        same_text = file.read().startswith(before)
    facts = [(f"the page tells of {clean} untouched jobs", same_text)]
    facts += [(row.split("|")[1].strip() + " as the page says", row in old) for row in rows[2:]]
    facts += [("the page has no other row", len(old) == len(rows))]
    for row in rows[2:]:
        check, planted, there, alarms, *_, below = (cell.strip() for cell in row.strip("|").split("|"))
        facts.append((f"{check}: everything planted is found, nothing below the limit, nothing else",
                      planted == there and alarms == "0" and below.endswith("→ 0")))
    for row in rows:
        if row not in old:
            print(f"  now: {row}")
    return facts


def main():
    wanted = [word for word in sys.argv[3:] if not word.startswith("--")]
    checks = wanted or sorted(SEEDS)
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        rows, clean, others = table(checks, pool, bool(wanted))
        if wanted:
            print("\n".join(rows))
            print(f"{clean} untouched jobs; other checks warn there: {others or 'never'}")
            return 0
        if "--write" in sys.argv:
            before, _, behind = section(rows, clean)
            with open(PAGE, "w", encoding="utf-8") as file:
                file.write(before + behind)
            return 0
        facts = compare(rows, clean) + list(real_jobs.facts(os.environ.get("BEADWISE_REAL", ""), pool, lines_told, found))
    for fact, holds in facts:
        print(f"{'holds' if holds else 'FAILS'}: {fact}")
    failed = sum(not holds for _, holds in facts)
    print(f"{len(facts) - failed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        sys.exit(main())
