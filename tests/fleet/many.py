#!/usr/bin/env python3
"""Many boats of many years in DuckDB: how long loading and each question takes.

    many.py PROGRAM QUERIES MADE BOATS YEARS

MADE boats are recorded by the program itself (`boat new`, `record`), a morning check of forty looks a
week with findings, repairs, services, estimates and readings that differ from boat to boat, and
exported as scripts of SQL, which are loaded twice. They are then multiplied to BOATS by SQL: each copy
has all rows of the boat it is of under an id of its own, so a copy is as large as a boat that was
made, and differs from it in nothing else. Each query is asked, and has to give as many rows of a copy
as of the boat it is of. Prints one JSON object. Ends with 77 where DuckDB is not here.
"""

import datetime
import json
import os
import pathlib
import random
import resource
import subprocess
import sys
import tempfile
import time

try:
    import duckdb
except ImportError:
    print("the Python module duckdb is not here")
    sys.exit(77)

FIRST = datetime.datetime(2016, 5, 1, 7, 40, tzinfo=datetime.timezone.utc)
# Queries that add up over boats: as many rows however many boats there are.
OVER_BOATS = {"cost-totals", "kinds-that-fail", "worst-item"}


def stamp(moment):
    return moment.isoformat()


def items(program, env):
    """The items of the morning check, with a phase and the unit of a reading."""
    shown = json.loads(subprocess.run([program, "checklist", "show", "daily", "--json"],
                                      check=True, capture_output=True, env=env).stdout)
    found = []
    for phase in shown["phases"]:
        for row in phase["rows"]:
            for item in row["items"]:
                if item["scope"] == "machine" and item["item"] not in ("stuffing-box", "oil-pressure"):
                    found.append((phase["id"], item["item"]))
    return found[:39] + [("idle", "oil-pressure")]


def records(n, years, looked):
    dice = random.Random(n)
    lines = []
    weeks = int(years * 52)
    hours = 1000.0
    rungs = {}
    for week in range(weeks):
        at = FIRST + datetime.timedelta(weeks=week)
        hours += dice.choice([0.5, 2, 3.5, 5])
        looks = []
        for phase, item in looked:
            # A gauge wears no rung: what stays sound has nothing to put right.
            if item != "oil-pressure" and dice.random() < 0.01:
                rungs[item] = min(rungs.get(item, 0) + 1, 2)
            grade = ("sound", "early", "worn")[rungs.get(item, 0)]
            look = {"item": item, "phase": phase, "grade": grade}
            if item == "oil-pressure":
                look["reading"] = {"value": round(300 + dice.gauss(0, 6) - week / 20, 1), "unit": "kPa"}
            elif grade != "sound":
                look["note"] = "seen by the light of a hand lamp"
            looks.append(look)
        lines.append({"type": "walk", "id": f"w{week}", "checklist": "daily", "machine": "main",
                      "at": stamp(at), "hours": round(hours, 1), "by": "R. Quay", "looks": looks})
        if week % 26 == 20:
            lines.append({"type": "service", "task": "oil-and-filter", "machine": "main",
                          "at": stamp(at + datetime.timedelta(hours=3)), "hours": round(hours, 1)})
        for item in [item for item in rungs if dice.random() < 0.04]:
            del rungs[item]
            lines.append({"type": "repair", "item": item, "machine": "main",
                          "at": stamp(at + datetime.timedelta(hours=4)), "done": "made good"})
    for item in [item for item in rungs][:3]:
        lines.append({"type": "cost", "item": item, "machine": "main", "low": 40, "likely": 60,
                      "high": 200, "currency": dice.choice(["EUR", "NOK"]),
                      "at": stamp(FIRST + datetime.timedelta(weeks=weeks, hours=1))})
    return "\n".join(json.dumps(line) for line in lines)


def told(what, begun):
    return {what: round(time.monotonic() - begun, 3)}


def main(program, queries, made, boats, years):
    made, boats, years = int(made), int(boats), float(years)
    with tempfile.TemporaryDirectory(prefix="many-") as folder:
        took = {}
        scripts = []
        now = stamp(FIRST + datetime.timedelta(weeks=int(years * 52), days=2))
        began = time.monotonic()
        for n in range(made):
            home = pathlib.Path(folder, f"boat-{n}")
            home.mkdir()
            env = {"HOME": str(home), "HANDLAMP_LOGBOOK": str(home / "logbook"), "TZ": "UTC",
                   "PATH": os.environ["PATH"]}
            for name in ("HANDLAMP_WITHOUT",):
                if name in os.environ:
                    env[name] = os.environ[name]

            def run(*args, text=None, at=now):
                done = subprocess.run([program, *args, "--now", at], input=text, text=True,
                                      capture_output=True, env=env, check=False)
                assert done.returncode == 0, f"{args}: {done.stderr[:2000]}"

            profile = {"type": "boat", "name": f"Plover {n}", "waters": "inshore", "units": "metric",
                       "usual_hours_per_month": 15, "day_ahead": {"hours": 10, "days": 2},
                       "machines": [{"id": "main", "name": "Main engine", "hours": 1000.0,
                                     "without": ["stuffing-box"]}]}
            run("boat", "new", "-", text=json.dumps(profile),
                at=stamp(FIRST - datetime.timedelta(days=1)))
            run("record", "-", text=records(n, years, items(program, env)))
            scripts.append(home / "boat.sql")
            run("logbook", "export", "--into", str(scripts[-1]))
        took.update(told("made", began))

        db = duckdb.connect(str(pathlib.Path(folder, "fleet.duckdb")))
        db.execute("set timezone = 'UTC'")
        for what in ("loaded", "loaded again"):
            began = time.monotonic()
            for script in scripts:
                db.execute(script.read_text())
            took.update(told(what, began))
        ask = lambda path: db.execute(path.read_text()).fetchall()
        paths = sorted(pathlib.Path(queries).glob("*.sql"))
        before = {path.stem: len(ask(path)) for path in paths}

        began = time.monotonic()
        copies = boats // made - 1
        names = [row[0] for row in db.execute(
            "select table_name from duckdb_tables() order by table_name").fetchall()]
        for name in names:
            if copies:
                db.execute(f"""insert into "{name}" select t.* replace (t.boat || '-' || n as boat)
                           from "{name}" t, range({copies}) copies(n)""")
        took.update(told("multiplied", began))

        counts = {name: db.execute(f'select count(*) from "{name}"').fetchone()[0] for name in names}
        asked = {}
        for path in paths:
            began = time.monotonic()
            rows = len(ask(path))
            asked[path.stem] = {"rows": rows, "seconds": round(time.monotonic() - began, 3)}
            of = 1 if path.stem in OVER_BOATS else copies + 1
            assert rows == before[path.stem] * of, f"{path.stem}: {rows} of {before[path.stem]}"
        db.close()
        size = pathlib.Path(folder, "fleet.duckdb").stat().st_size
        print(json.dumps({
            "boats": counts["boats"], "years": years, "made": made, "seconds": took, "asked": asked,
            "rows": sum(counts.values()), "looks": counts["looks"],
            "script_bytes": max(script.stat().st_size for script in scripts), "database_bytes": size,
            "memory_kib": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss}, indent=1))


main(*sys.argv[1:])
