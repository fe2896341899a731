"""Real jobs as further ground for the faults that fit into any job."""

import os

from plant import SEEDS, Job

FIT_ANY_JOB = ("bad-checksum", "dense-retraction", "hot-dwell", "mid-print-homing", "short-spool", "travel-collision",
               "truncated-file", "unread-line")
LARGEST_BYTES, LEAST_BEADS = 1_000_000, 100  # a few seconds of a test; in fewer beads ten faults have no place


def jobs_of(folder):
    names = sorted(os.listdir(folder)) if os.path.isdir(folder) else []
    for name in names:
        path = os.path.join(folder, name)
        if not name.endswith(".gcode") or os.path.getsize(path) > LARGEST_BYTES:
            continue
        with open(path, encoding="utf-8", errors="replace") as file:
            job = Job(name, file.read().splitlines())
        switched = any(step.command == "M101" for step in job.steps)  # then E is no length
        if not switched and sum(step.bead for step in job.steps) >= LEAST_BEADS:
            yield job


def facts(folder, pool, lines_told, found):
    """One fact for each check: what is planted into jobs that it found nothing in before is found."""
    jobs = list(jobs_of(folder))
    if not jobs:
        print("no real jobs; BEADWISE_REAL names a folder of them")
        return
    for check in FIT_ANY_JOB:
        trials = [trial for job in jobs for trial in SEEDS[check][0](False, [job])]
        untouched = pool.map(lambda trial: not lines_told(check, *trial.clean, trial.severity), trials)
        trials = [trial for trial, clean in zip(trials, untouched) if clean]
        answers = [seen for answer in pool.map(lambda trial: found(check, trial), trials) for seen in answer]
        yield f"{check}: {sum(answers)} of {len(answers)} found in {len(jobs)} real jobs", all(answers)
