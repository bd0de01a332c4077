#!/usr/bin/env python3
"""Loads exports of several boats into a database and runs queries there.

    run.py duckdb   QUERIES EXPORT...
    run.py postgres QUERIES EXPORT...

QUERIES is a folder of .sql files, each EXPORT a folder that `logbook export` wrote. Prints one JSON
object: rows by the name of each query, and under "counts" the rows of each table. Ends with 77
where the engine is not here, and says what is missing.

DuckDB runs in this process (PyPI package duckdb, the version in requirements.txt). PostgreSQL is
started for this run alone, in a temporary folder, on a socket in it and on no port, by an
unprivileged user where the caller is root.
"""

import glob
import json
import os
import pathlib
import pwd
import shutil
import signal
import subprocess
import sys
import tempfile
import time

MISSING = 77


def missing(what):
    print(what)
    sys.exit(MISSING)


def tables(export):
    return sorted(path.stem for path in pathlib.Path(export).glob("*.ndjson"))


def queries(folder):
    return sorted(pathlib.Path(folder).glob("*.sql"))


def duckdb_run(folder, exports):
    try:
        import duckdb
    except ImportError:
        missing("the Python module duckdb is not here")
    db = duckdb.connect()
    db.execute("set timezone = 'UTC'")
    for export in exports:
        db.execute(pathlib.Path(export, "tables.sql").read_text())
        for table in tables(export):
            file = pathlib.Path(export, f"{table}.ndjson")
            # The column types are asked of the table, so that a column of nulls has its own.
            types = dict(db.execute(
                "select column_name, data_type from duckdb_columns() where table_name = ?",
                [table]).fetchall())
            for line in file.read_text().splitlines():
                unknown = set(json.loads(line)) - set(types)
                assert not unknown, f"{table}: no column for {unknown}"
            if file.stat().st_size:
                db.execute(f"insert into {table} by name select * from read_json(?, "
                           "format = 'newline_delimited', columns = " + struct(types) + ")",
                           [str(file)])
    counts = {table: db.execute(f"select count(*) from {table}").fetchone()[0]
              for table in tables(exports[0])}
    answers = {"counts": counts}
    for query in queries(folder):
        answer = db.execute(query.read_text())
        names = [column[0] for column in answer.description]
        answers[query.stem] = [dict(zip(names, row)) for row in answer.fetchall()]
    return answers


def struct(types):
    return "{" + ", ".join(f"'{name}': '{kind}'" for name, kind in types.items()) + "}"


def program(name):
    found = sorted(glob.glob(f"/usr/lib/postgresql/*/bin/{name}")) or [shutil.which(name)]
    if not found[-1]:
        missing(f"PostgreSQL's {name} is not here")
    return found[-1]


class Postgres:
    """A server of its own, gone when done with."""

    def __init__(self):
        self.initdb, self.server, self.psql = map(program, ("initdb", "postgres", "psql"))
        # A socket's path may have some hundred bytes.
        self.folder = tempfile.mkdtemp(prefix="fleet-", dir="/tmp")
        self.user = None
        if os.geteuid() == 0:
            self.user = next((u for u in ("postgres", "nobody") if self.known(u)), None)
            if self.user is None:
                missing("there is no unprivileged user to run PostgreSQL as")
            shutil.chown(self.folder, self.user)

    @staticmethod
    def known(user):
        try:
            return pwd.getpwnam(user)
        except KeyError:
            return None

    def options(self):
        entry = self.user and self.known(self.user)
        as_user = {"user": entry.pw_uid, "group": entry.pw_gid, "extra_groups": []} if entry else {}
        # A locale or a home of the caller's may not be there for the user.
        return {"cwd": self.folder, "env": {"PATH": os.environ["PATH"], "LC_ALL": "C",
                                            "HOME": self.folder, "TZ": "UTC"}, **as_user}

    def __enter__(self):
        data = os.path.join(self.folder, "data")
        subprocess.run([self.initdb, "-D", data, "-U", "fleet", "-A", "trust", "-E", "UTF8",
                        "--no-sync"], check=True, stdout=subprocess.DEVNULL, **self.options())
        self.log = open(os.path.join(self.folder, "log"), "wb")
        self.running = subprocess.Popen(
            [self.server, "-D", data, "-k", self.folder, "-c", "listen_addresses=",
             "-c", "fsync=off", "-c", "timezone=UTC", "-c", "log_timezone=UTC"],
            stdout=self.log, stderr=self.log, **self.options())
        for _ in range(200):
            if self.sql("select 1", check=False).returncode == 0:
                return self
            time.sleep(0.1)
        sys.exit(pathlib.Path(self.folder, "log").read_text())

    def __exit__(self, *_):
        # An immediate end: nothing of it is kept.
        self.running.send_signal(signal.SIGQUIT)
        self.running.wait(30)
        self.log.close()
        shutil.rmtree(self.folder)

    def sql(self, text, check=True):
        done = subprocess.run(
            [self.psql, "-X", "-q", "-A", "-t", "-v", "ON_ERROR_STOP=1", "-h", self.folder, "-U",
             "fleet", "-d", "postgres"], input=text, text=True, capture_output=True, check=False)
        if check and done.returncode:
            sys.exit(f"{done.stderr}\nin\n{text[:2000]}")
        return done

    def rows(self, query):
        query = query.strip().rstrip(";")
        answer = self.sql(f"select coalesce(json_agg(row_to_json(q)), '[]') from (\n{query}\n) q;")
        return json.loads(answer.stdout)


def postgres_run(folder, exports):
    with Postgres() as db:
        for export in exports:
            db.sql("set client_min_messages = warning;\n"
                   + pathlib.Path(export, "tables.sql").read_text())
            for table in tables(export):
                # psql reads the file as the caller; the server's user need not be let in.
                db.sql("create temporary table lines (line text);\n"
                       f"\\copy lines from '{export}/{table}.ndjson' with "
                       "(format csv, quote e'\\x01', delimiter e'\\x02')\n"
                       f"insert into {table} select row.* from lines, "
                       f"jsonb_populate_record(null::{table}, line::jsonb) as row;\n")
        counts = {table: db.rows(f"select count(*) as n from {table}")[0]["n"]
                  for table in tables(exports[0])}
        return {"counts": counts,
                **{query.stem: db.rows(query.read_text()) for query in queries(folder)}}


engine, folder, *exports = sys.argv[1:]
print(json.dumps({"duckdb": duckdb_run, "postgres": postgres_run}[engine](folder, exports)))
