"""``make bench``: speed on this machine, measured side by side in one run and told as ratios beside their targets.

    python tests/bench_run.py [--strict] [--profile]

``--strict`` ends with 1 where a target is missed; ``--profile`` adds where the time of a sheet goes. Nothing is fetched from anywhere.
"""

from __future__ import annotations

import argparse
import cProfile
import json
import os
import pstats
import random
import socket
import statistics
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib import resources
from itertools import count
from pathlib import Path
from typing import Any

from halfthou_service.bench.readings import Place, Reading, Rules
from halfthou_service.bench.sheet import judge_sheet
from halfthou_service.bench.surveys.survey import Survey
from halfthou_service.bench.verdict import Bench
from halfthou_specdb.build import ensure_built
from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import Quantity, parse_quantity
from halfthou_specdb.rules import Open
from halfthou_specdb.table import Table

ROOT = Path(__file__).parent.parent
SHEET = 1_000
ROUNDS = 5
SIZES = {
    "bore": "5 in", "stroke": "8 in", "crankpin": "2.25 in", "crankpin-length": "2.5 in", "main-journal": "2 in", "main-bearing-length": "4 in",
    "wrist-pin": "1.25 in", "intake-valve-stem": "0.5 in", "exhaust-valve-stem": "0.5 in", "ring-width": "0.25 in", "flywheel": "36 in",
    "rated-speed": "450 rpm",
}  # fmt: skip


class Told:
    """Lines of the answer, and whether every target was met."""

    def __init__(self) -> None:
        self.met = True

    def line(self, what: str, got: float, unit: str, target: float, at_least: bool, note: str = "") -> None:
        good = got >= target if at_least else got <= target
        self.met &= good
        word = "at least" if at_least else "at most"
        shown = f"{got:,.0f}" if got >= 100 else f"{got:.3g}"
        print(f"{'ok  ' if good else 'MISS'}  {what:<58} {shown:>8} {unit:<11} ({word} {target:g}){f'  {note}' if note else ''}", flush=True)


# -- judging in process ------------------------------------------------------------------------------------------


def mixed_readings(table: Table, n: int = SHEET) -> list[Reading]:
    """Readings of every kind of characteristic, half of them the rod's clearance; in, near and out of their limits; findings too."""
    rng = random.Random(1)
    shop = bench_of(table)
    things = [w for w in table.characteristics.values() if w.value_kind == "finding" or shop.resolved_or_none(w)]
    rod = table.characteristics["rod-bearing-running-clearance"]
    sheet = []
    for i in range(n):
        what = things[i // 2 % len(things)] if i % 2 else rod
        place = Place(instance=what.instances[0] if what.instances else "", station=f"s{i % 7}")
        if what.value_kind == "finding":
            sheet.append(Reading(f"r{i}", what.id, finding=rng.choice(what.words).word, place=place))
            continue
        resolved = shop.resolved_or_none(what)
        numbers = [float(v) for v in (resolved.fit.low, resolved.fit.high) if not isinstance(v, Open)] or [1.0]
        low, high = (numbers[0] / 2, numbers[0]) if len(numbers) == 1 else numbers
        value = abs(low + (high - low) * rng.uniform(-0.5, 1.7)) or 1.0
        values = tuple(Quantity.of(f"{value * (1 + j / 100):.6f}", resolved.fit.unit) for j in range(4 if i % 10 == 0 else 1))
        sheet.append(Reading(f"r{i}", what.id, values=values, place=place, confirmed=i % 3 == 0))
    return sheet


class AskingBench(Bench):
    """A bench that answers None where a limit cannot be had."""

    __slots__ = ()

    def resolved_or_none(self, what: Any) -> Any:
        try:
            found = self.limit_for(what)
        except Exception:
            return None
        return found if found.fit is not None else None


def bench_of(table: Table) -> AskingBench:
    sizes = {name: parse_quantity(text) for name, text in SIZES.items()}
    engine = Engine(table.classes["slow-open-crank"], dimensions=sizes, features=frozenset({"make-and-break", "low-tension-magneto"}))
    return AskingBench(table, engine, Rules(stage="assembly"))


def judging(told: Told, table: Table, profile: bool) -> None:
    sheet = mixed_readings(table)
    judge_sheet(bench_of(table), sheet)
    rates = []
    for _ in range(ROUNDS):
        began = time.perf_counter()
        answer = judge_sheet(bench_of(table), sheet)
        rates.append(len(sheet) / (time.perf_counter() - began))
    told.line(f"judging, sheets of {SHEET:,} mixed readings", statistics.median(rates), "readings/s", 8_000, True, f"{answer.overall.counts}")
    if profile:
        prof = cProfile.Profile()
        prof.runcall(judge_sheet, bench_of(table), sheet)
        pstats.Stats(prof).sort_stats("tottime").print_stats(20)
        pstats.Stats(prof).sort_stats("cumtime").print_stats("bench|specdb", 25)


# -- surveys -----------------------------------------------------------------------------------------------------


def surveys_of(n: int, rng: random.Random) -> list[Survey]:
    """Crankpins at three stations on six axes, from round and straight to oval and tapered, in tenths of a thousandth."""
    found = []
    for i in range(n):
        oval, cone = rng.choice((0.0, 0.0003, 0.0016, 0.004)), rng.choice((0.0, 0.0004, 0.0012))
        cells = {}
        for s, station in enumerate(("inner", "middle", "outer")):
            for k in range(6):
                size = 2.25 - oval * (k == i % 6) - cone * s / 2 + rng.gauss(0, 0.0001)
                cells[(station, f"{30 * k} degrees")] = (Quantity.of(f"{size:.4f}", "in"),)
        found.append(Survey(f"s{i}", "crankpin", cells, instance=f"pin {i}", instrument="outside-micrometer"))
    return found


def surveying(told: Told, table: Table, profile: bool) -> None:
    sheet = surveys_of(200, random.Random(2))
    judge_sheet(bench_of(table), [], sheet)
    rates = []
    for _ in range(ROUNDS):
        began = time.perf_counter()
        answer = judge_sheet(bench_of(table), [], sheet)
        rates.append(len(sheet) / (time.perf_counter() - began))
    counts = answer.overall.counts
    told.line("surveys of 18 readings, worked out and judged", statistics.median(rates), "surveys/s", 1_500, True, f"{counts}")
    if profile:
        prof = cProfile.Profile()
        prof.runcall(judge_sheet, bench_of(table), [], sheet)
        pstats.Stats(prof).sort_stats("tottime").print_stats(25)


# -- working out -------------------------------------------------------------------------------------------------


def microseconds(work: Callable[[], Any], n: int = 2_000) -> float:
    """Median of a few rounds, of one call [us]."""
    rounds = []
    for _ in range(ROUNDS):
        began = time.perf_counter()
        for _ in range(n):
            work()
        rounds.append((time.perf_counter() - began) / n * 1e6)
    return statistics.median(rounds)


def working_out(told: Told) -> None:
    from halfthou_service.calculations import CALCULATIONS, calculate
    from halfthou_specdb.standards import fit

    sizes = count(25_000)
    told.line("a fit of ISO 286 at a size not asked for before", microseconds(lambda: fit("H7/g6", Quantity.of(f"{next(sizes)}e-3", "mm"))), "us",
              50, False)  # fmt: skip
    film = {name: parse_quantity(text) for name, text in {
        "journal_diameter": "2 in", "bearing_length": "3 in", "speed": "450 rpm", "load": "600 lbf", "viscosity": "60 mPa.s"}.items()}  # fmt: skip
    clearances = count(20_000)

    def one() -> Any:
        return calculate(CALCULATIONS["journal-film"], film | {"diametral_clearance": Quantity.of(f"{next(clearances)}e-7", "in")})

    told.line("an oil film, from quantities to quantities", microseconds(one), "us", 200, False)


def demonstration(told: Told, table: Table) -> None:
    """The whole sheet of the invented engine: read, judged with remedies, and its work order made, in this process."""
    from halfthou_service.bench.papers.work_order import work_order
    from halfthou_service.bench.papers.work_order_dict import to_dict
    from halfthou_service.bench.remedies import remedies_by_item
    from halfthou_service.http import jsonio
    from halfthou_service.http.parse_reading import Read
    from halfthou_service.http.parse_sheet import parse_sheet
    from halfthou_service.http.parse_survey import ReadSurvey

    raw = jsonio.parse(resources.files("halfthou_service.demo").joinpath("sheet.json").read_bytes())

    def whole() -> Any:
        sheet = parse_sheet(table, raw, SHEET)
        bench = Bench(table, sheet.engine, sheet.rules)
        readings = [entry.reading for entry in sheet.entries if isinstance(entry, Read)]
        answer = judge_sheet(bench, readings, [entry.survey for entry in sheet.surveys if isinstance(entry, ReadSurvey)])
        remedies = remedies_by_item(bench, answer, readings, sheet.facts)
        return to_dict(work_order(bench, answer, readings, wishes=sheet.wishes, remedies=remedies))

    told.line("the demonstration: sheet, remedies and work order", microseconds(whole, 10) / 1000, "ms", 60, False)


# -- over HTTP ---------------------------------------------------------------------------------------------------


def measured_app() -> Any:
    """The service with one empty JSON endpoint beside the real ones, for the server that measures."""
    from flask import jsonify

    from halfthou_service.http import create_app

    app = create_app()
    app.add_url_rule("/empty", "empty", lambda: jsonify({}))
    return app


def free_port() -> int:
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return int(s.getsockname()[1])


@contextmanager
def server(port: int) -> Iterator[tuple[subprocess.Popen[bytes], float]]:
    """One gunicorn worker as ``make serve`` runs it; yields the process and the seconds from start to ready."""
    command = [sys.executable, "-m", "gunicorn", "--chdir", str(ROOT / "tests"), "--bind", f"127.0.0.1:{port}", "--worker-class", "gthread",
               "--threads", "4", "--workers", "1", "--log-level", "error", "bench_run:measured_app()"]  # fmt: skip
    began = time.perf_counter()
    process = subprocess.Popen(command)
    try:
        while True:
            if process.poll() is not None:
                raise RuntimeError(f"the server ended with {process.returncode} before it was ready")
            try:
                status, _ = Line(port).ask("/readyz")
            except OSError:
                status = 0
            if status == 200:
                break
            if time.perf_counter() - began > 60:
                raise RuntimeError(f"the server was not ready within a minute (last answer: {status})")
            time.sleep(0.005)
        yield process, time.perf_counter() - began
    finally:
        process.terminate()
        process.wait(20)


class Line:
    """One kept-alive connection: as little client as can be, so that the server is what is measured."""

    def __init__(self, port: int) -> None:
        self._socket = socket.create_connection(("127.0.0.1", port), timeout=20)
        self._socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self._rest = b""

    def ask(self, path: str) -> tuple[int, bytes]:
        self._socket.sendall(f"GET {path} HTTP/1.1\r\nHost: bench\r\n\r\n".encode())
        data = self._rest
        while b"\r\n\r\n" not in data:
            data += self._more()
        head, _, body = data.partition(b"\r\n\r\n")
        length = next(int(h.split(b":")[1]) for h in head.split(b"\r\n") if h.lower().startswith(b"content-length:"))
        while len(body) < length:
            body += self._more()
        self._rest = body[length:]
        return int(head.split(b" ", 2)[1]), body[:length]

    def _more(self) -> bytes:
        got = self._socket.recv(65_536)
        if not got:
            raise ConnectionResetError("the server closed the connection")
        return got


def rate(port: int, paths: Callable[[], str], seconds: float = 1.0, lines: int = 3) -> float:
    """Requests a second over a few connections at once."""
    done: list[int] = []
    faults: list[str] = []

    def work() -> None:
        line, n, end = Line(port), 0, time.perf_counter() + seconds
        while time.perf_counter() < end:
            path = paths()
            status, body = line.ask(path)
            if status != 200:
                faults.append(f"{path} -> {status} {body[:200]!r}")
                return
            n += 1
        done.append(n)

    began = time.perf_counter()
    threads = [threading.Thread(target=work) for _ in range(lines)]
    for t in threads:
        t.start()
    for t in threads:
        t.join()
    if faults:
        raise RuntimeError(faults[0])
    return sum(done) / (time.perf_counter() - began)


def over_http(told: Told) -> None:
    port = free_port()
    numbers = count(1)

    def looking(evidence: str) -> Callable[[], str]:
        """A size nobody asked for before, every time."""
        base = f"/v1/limits?characteristic=rod-bearing-running-clearance&engine_class=slow-open-crank&evidence={evidence}&size="
        return lambda: f"{base}{1 + next(numbers) / 1_000_000:.6f}%20in"

    kinds: dict[str, Callable[[], str]] = {"empty": lambda: "/empty", "full": looking("full"), "none": looking("none")}
    with server(port) as (process, ready):
        told.line("service, start to ready (table already built)", ready, "s", 1.0, False)
        for paths in kinds.values():
            rate(port, paths, 0.3)
        rates: dict[str, list[float]] = {name: [] for name in kinds}
        for _ in range(ROUNDS):
            for name, paths in kinds.items():
                rates[name].append(rate(port, paths))
        empty = statistics.median(rates["empty"])
        for name, target in (("full", 1 / 3), ("none", 1 / 2)):
            ratio = statistics.median(a / b for a, b in zip(rates[name], rates["empty"], strict=True))
            note = f"{statistics.median(rates[name]):,.0f} against {empty:,.0f} a second"
            told.line(f"look-up of distinct sizes, evidence={name}, against empty JSON", ratio, "of it", round(target, 3), True, note)
        for pid in workers(process.pid):
            told.line("memory of a worker after all that", resident(pid), "MB", 90, False)


def workers(pid: int) -> list[int]:
    return [int(p) for p in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def resident(pid: int) -> float:
    text = Path(f"/proc/{pid}/status").read_text()
    return int(next(line.split()[1] for line in text.splitlines() if line.startswith("VmRSS"))) / 1024


# -- the SDK and the command line --------------------------------------------------------------------------------


def commands(told: Told) -> None:
    judge = [sys.executable, "-m", "halfthou", "judge", "rod-bearing-running-clearance", "3.8 thou", "--engine-class", "slow-open-crank",
             "--size", "2-1/4 in", "--instrument", "plastic-gauge-strip"]  # fmt: skip
    walls = []
    for _ in range(ROUNDS):
        began = time.perf_counter()
        done = subprocess.run(judge, capture_output=True, text=True, check=False)
        walls.append(time.perf_counter() - began)
    if done.returncode != 0:
        raise RuntimeError(f"halfthou judge ended with {done.returncode}: {done.stderr[-500:] or done.stdout[-500:]}")
    told.line("halfthou judge, embedded, from shell to answer", statistics.median(walls), "s", 0.8, False)
    clock = "import time; t = time.perf_counter(); import halfthou; print(time.perf_counter() - t)"
    spent = [float(subprocess.run([sys.executable, "-c", clock], capture_output=True, text=True, check=True).stdout) for _ in range(ROUNDS)]
    told.line("import halfthou", statistics.median(spent), "s", 0.15, False)


def main(argv: list[str]) -> int:
    """Measure what is there; what is not is said, and the rest goes on."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--strict", action="store_true")
    parser.add_argument("--profile", action="store_true")
    asked = parser.parse_args(argv)
    for name in ("HALFTHOU_URL", "HALFTHOU_RATE_LIMIT", "HALFTHOU_LOG_LEVEL"):
        os.environ.pop(name, None)
    told = Told()
    table = Table.open(ensure_built())
    print(json.dumps({"edition": table.edition, "python": sys.version.split()[0], "cpus": os.cpu_count()}))
    parts: tuple[Callable[[], None], ...] = (
        lambda: judging(told, table, asked.profile), lambda: surveying(told, table, asked.profile), lambda: working_out(told),
        lambda: demonstration(told, table),
        lambda: over_http(told), lambda: commands(told),
    )  # fmt: skip
    for part in parts:
        try:
            part()
        except (RuntimeError, ImportError, OSError, subprocess.SubprocessError) as error:
            told.met = False
            print(f"MISS  {type(error).__name__}: {error}", flush=True)
    return 0 if told.met or not asked.strict else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
