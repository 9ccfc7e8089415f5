"""Side by side, in one run: what the program takes, and what others take.

    python3 crates/gutta-bench/compare.py [ROWS]

prints a table; ROWS is how many rows the long table has (10000000). numpy, scipy,
polars, duckdb and uncertainties are run by the Python that GUTTA_PYTHON names, or by
this one; what is not there is left out, and said so. Files are made in a folder of
the system's own, which is removed again.
"""
import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time

BENCH = os.path.dirname(os.path.abspath(__file__))
HERE = os.path.join(BENCH, "compare")
ROOT = os.path.dirname(os.path.dirname(BENCH))
PYTHON = os.environ.get("GUTTA_PYTHON", sys.executable)
TIMES = 5
CORES = sorted(os.sched_getaffinity(0))


def built(folder):
    """The folder that cargo has put the programs into."""
    asked = ["cargo", "build", "--release", "--quiet", "--locked"]
    subprocess.run(asked, cwd=folder, check=True)
    asked = ["cargo", "metadata", "--format-version", "1", "--no-deps", "--locked"]
    found = json.loads(subprocess.run(asked, cwd=folder, check=True, capture_output=True).stdout)
    return os.path.join(found["target_directory"], "release")


def run(command, source=None, to=None, cores=None):
    """Seconds by the clock and CPU seconds of one run."""
    streams = [open(source or os.devnull, "rb"), open(to or os.devnull, "wb")]
    # The child has the cores of its parent: told to it alone, it would have to be
    # forked from all of this Python, which takes longer than a short run.
    os.sched_setaffinity(0, cores or CORES)
    begun = time.perf_counter()
    child = subprocess.Popen(
        command, stdin=streams[0], stdout=streams[1], stderr=subprocess.DEVNULL, close_fds=False
    )
    _, status, usage = os.wait4(child.pid, 0)
    seconds = time.perf_counter() - begun
    child.returncode = status
    os.sched_setaffinity(0, CORES)
    for stream in streams:
        stream.close()
    if status:
        raise RuntimeError(f"{command[0]} ended with {status}")
    return seconds, usage.ru_utime + usage.ru_stime


def peak(command, source, to):
    """Peak memory in MiB. What a process is said to have had counts the Python that
    it was made of; what it is seen to have while it runs does not."""
    seen = 0
    with open(source, "rb") as table, open(to, "wb") as out:
        child = subprocess.Popen(command, stdin=table, stdout=out, stderr=subprocess.DEVNULL)
        while child.poll() is None:
            try:
                with open(f"/proc/{child.pid}/status") as status:
                    now = [line.split()[1] for line in status if line.startswith("VmHWM")]
            except OSError:
                break
            seen = max([seen, *map(int, now)])
            time.sleep(0.001)
        child.wait()
    return seen / 1024


def medians(runs, times=TIMES):
    """The medians of several runs, made in turn so that a busy moment meets all."""
    found = {name: [] for name in runs}
    for _ in range(times):
        for name, (args, kwargs) in runs.items():
            found[name].append(run(*args, **kwargs))
    return {n: tuple(statistics.median(x) for x in zip(*rs)) for n, rs in found.items()}


def has(module):
    found = subprocess.run([PYTHON, "-c", f"import {module}"], capture_output=True, cwd=HERE)
    return found.returncode == 0


def row(work, ours, other, wanted):
    ratio = other / ours
    mark = "yes" if ratio >= wanted else "no"
    print(f"| {work} | {ours:.4g} | {other:.4g} | {ratio:.2f} | {wanted:g} | {mark} |", flush=True)


def tables(gutta, bench, folder, rows):
    long, short, few = (os.path.join(folder, f"{n}.csv") for n in ("long", "short", "few"))
    for path, count in ((long, rows), (short, 100_000), (few, 10_000)):
        with open(path, "wb") as file:
            subprocess.run([os.path.join(bench, "batches"), str(count)], stdout=file, check=True)
    out = os.path.join(folder, "out.csv")
    bulk, copy = [gutta, "bulk", "--scale", "0.01g"], [os.path.join(bench, "csv-copy")]
    one = CORES[:1]
    runs = {
        "bulk": ((bulk, long, out), {}),
        "bulk, one core": ((bulk, long, out), {"cores": one}),
        "copy": ((copy, long, out), {}),
    }
    absent = []
    for module in ("polars", "duckdb"):
        if has(module):
            script = os.path.join(HERE, f"{module}_plans.py")
            runs[module] = (([PYTHON, script, long, out],), {})
        else:
            absent.append(module)
    found = medians(runs)
    name = f"{rows} rows"
    row(f"{name}, all cores, s by the clock: crate csv copying", found["bulk"][0], found["copy"][0], 2.5)
    row(f"{name}, one core, CPU s: crate csv copying", found["bulk, one core"][1], found["copy"][1], 1.2)
    for module, wanted in (("polars", 4), ("duckdb", 9)):
        if module in found:
            row(f"{name}, all cores, s by the clock: {module}", found["bulk"][0], found[module][0], wanted)
    most, less = peak(bulk, long, out), max(peak(bulk, short, out) for _ in range(TIMES))
    row(f"{name}, MiB at most: 16", most, 16, 1)
    row(f"{name}, MiB at most: 1.1 times those of 100000 rows", most, 1.1 * less, 1)
    if shutil.which("mawk"):
        awk = ["mawk", "-f", os.path.join(HERE, "plans.awk")]
        few_runs = medians({"bulk": ((bulk, few, out), {}), "mawk": ((awk, few, out), {})}, 21)
        row("10000 rows with start-up, s by the clock: mawk", few_runs["bulk"][0], few_runs["mawk"][0], 5)
    else:
        absent.append("mawk")
    return absent


def printed(command, cores=None, given=None):
    """The words that a program prints."""
    pin = lambda: os.sched_setaffinity(0, cores or CORES)
    out = subprocess.run(command, check=True, capture_output=True, text=True, preexec_fn=pin, input=given)
    return out.stdout.split()


def doubt(bench):
    absent = []
    draws = os.path.join(bench, "draws")
    one, all_ = printed([draws, "1", "7"], CORES[:1]), printed([draws, str(len(CORES)), "7"])
    same = one[:4] == all_[:4]
    if has("numpy"):
        other = printed([PYTHON, os.path.join(HERE, "numpy_draws.py")], CORES[:1])
        row("10^6 draws of ten inputs, one core, s: numpy", float(one[4]), float(other[4]), 5)
        row(f"the same, {len(CORES)} cores, s: numpy", float(all_[4]), float(other[4]), 8)
    else:
        absent.append("numpy")
    print(f"| the same digits on any number of cores | {'yes' if same else 'NO'} | | | | {'yes' if same else 'no'} |")
    ours = printed([os.path.join(bench, "budget")], CORES[:1])
    if has("uncertainties"):
        other = printed([PYTHON, os.path.join(HERE, "uncertainties_budget.py")], CORES[:1])
        row("first-order budget of a plan, µs: uncertainties", float(ours[1]), float(other[1]), 200)
    else:
        absent.append("uncertainties")
    return absent


def cheapest(bench):
    """The same lots to both, each cost beside the other."""
    if not has("scipy"):
        return ["scipy"]
    script, apart = os.path.join(HERE, "scipy_lots.py"), 0.0
    for basis in ("dry", "as-weighed"):
        for count, wanted in ((30, 12), (300, 5), (3000, 3)):
            asked = [os.path.join(bench, "lots"), basis, str(count)]
            question = subprocess.run(asked, check=True, capture_output=True, text=True).stdout
            ours, others = [], []
            for _ in range(TIMES):
                ours.append([float(word) for word in printed(asked, CORES[:1])[:2]])
                other = printed([PYTHON, script, basis], CORES[:1], question)
                others.append([float(word) for word in other])
            (cost, seconds), (least, theirs) = (map(statistics.median, zip(*x)) for x in (ours, others))
            apart = max(apart, abs(cost / least - 1))
            row(f"cheapest of {count} lots, {basis}, one core, s: scipy", seconds, theirs, wanted)
    print(f"| the same costs: 1e-6 of each | {apart:.1e} | | | | {'yes' if apart <= 1e-6 else 'NO'} |")
    return []


def start(gutta):
    found = medians({"gutta": (([gutta, "moisture", "basis", "15%"],), {}), "true": ((["true"],), {})}, 201)
    ours, other = found["gutta"][0] * 1e3, found["true"][0] * 1e3
    near = "yes" if ours - other <= 0.5 else "no"
    print(f"| start-up and one answer, ms: `true` and 0.5 ms | {ours:.3f} | {other:.3f} | | | {near} |")
    size = os.path.getsize(gutta) / 2**20
    print(f"| the program, MiB: 3 | {size:.2f} | 3 | | | {'yes' if size < 3 else 'no'} |")


def main():
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000_000
    gutta, bench = os.path.join(built(ROOT), "gutta"), built(BENCH)
    folder = tempfile.mkdtemp()
    try:
        print(f"Medians of {TIMES} and more, on {len(CORES)} cores, in turn; load {os.getloadavg()[0]:.1f}.\n")
        print("| work: against | gutta | the other | ratio | wanted | reached |\n|---|---|---|---|---|---|")
        absent = tables(gutta, bench, folder, rows)
        absent += doubt(bench)
        absent += cheapest(bench)
        start(gutta)
        if absent:
            print(f"\nNot there, and left out: {', '.join(absent)}.")
    finally:
        shutil.rmtree(folder)


main()
