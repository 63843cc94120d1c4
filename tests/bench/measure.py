"""Whole processes, measured from outside: time, processor time, peak memory."""

import os
import resource
import statistics
import subprocess
import time
from dataclasses import dataclass


@dataclass
class Measured:
    """The middle of some runs."""

    seconds: float
    processor: float
    peak_mb: float


def once(command, ok=(0,), **options):
    """One run under GNU time (package `time`), which is small enough not to
    count in the peak memory. It tells processor time in hundredths of a second only,
    so that is asked of the system, its own millisecond included. What the command
    prints is thrown away."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    ran = subprocess.run(
        ["/usr/bin/time", "-q", "-f", "%M", *map(str, command)],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        **options,
    )
    seconds = time.perf_counter() - start
    said = ran.stderr.decode(errors="replace")
    if ran.returncode not in ok:
        raise SystemExit(f"{' '.join(map(str, command))[:300]}\nended with {ran.returncode}: {said[-2000:]}")
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    processor = after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
    return Measured(seconds, processor, float(said.rstrip().splitlines()[-1]) / 1024)


def middle(runs):
    """The medians; of the memory the most, since a peak is a peak."""
    return Measured(
        statistics.median(run.seconds for run in runs),
        statistics.median(run.processor for run in runs),
        max(run.peak_mb for run in runs),
    )


def repeated(times, command, before=None, **options):
    """The middle of so many runs; `before` clears the way for each."""
    runs = []
    for _ in range(times):
        if before:
            before()
        runs.append(once(command, **options))
    return middle(runs)


def machine():
    """One line on what this was measured on, and how busy that was."""
    model = "unknown processor"
    with open("/proc/cpuinfo", encoding="utf-8") as info:
        for line in info:
            if line.startswith("model name"):
                model = line.split(":", 1)[1].strip()
                break
    load = " ".join(f"{number:.1f}" for number in os.getloadavg())
    cores = len(os.sched_getaffinity(0))
    return f"{time.strftime('%Y-%m-%d')}, {cores} cores of {model}, load {load}"
