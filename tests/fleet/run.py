#!/usr/bin/env python3
"""Loads exports of several boats into a database and runs queries there.

    run.py duckdb|postgres|sqlite QUERIES EXPORT...
    run.py duckdb|postgres|sqlite QUERIES SCRIPT.sql...

QUERIES is a folder of .sql files. Each EXPORT is a folder that `logbook export` wrote, each SCRIPT a
file that `logbook export --into` wrote; a later script of a boat takes the place of an earlier one.
Every script is loaded, then cut off midway, then loaded again: neither may change anything. Prints one
JSON object: rows by the name of each query, and under "counts" the rows of each table. Ends with 77
where the engine is not here, and says what is missing.

DuckDB runs in this process (PyPI package duckdb, the version in requirements.txt), and so does SQLite
(of Python itself). PostgreSQL is started for this run alone, in a temporary folder, on a socket in it
and on no port, by an unprivileged user where the caller is root; it is told what names what
(QUERIES/postgresql/references.sql) after the first script.
"""

import datetime
import decimal
import glob
import hashlib
import json
import os
import pathlib
import pwd
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time

MISSING = 77
MOMENT = re.compile(r"^(\d{4}-\d\d-\d\d)[ T](\d\d:\d\d:\d\d(?:\.\d+)?)\+00(?::?00)?$")


def missing(what):
    print(what)
    sys.exit(MISSING)


def tables(export):
    return sorted(path.stem for path in pathlib.Path(export).glob("*.ndjson"))


def queries(folder):
    return sorted(pathlib.Path(folder).glob("*.sql"))


def plain(value):
    """A value as all engines would give it: a truth as 0 or 1, a time in one form, a figure as one."""
    if isinstance(value, bool):
        return int(value)
    if isinstance(value, decimal.Decimal):
        return float(value)
    if isinstance(value, datetime.datetime):
        value = value.astimezone(datetime.timezone.utc).isoformat(" ")
    if isinstance(value, datetime.date):
        value = value.isoformat()
    if isinstance(value, str) and (moment := MOMENT.match(value)):
        return f"{moment[1]} {moment[2]}+00:00"
    return value


def plain_rows(rows):
    return [{name: plain(value) for name, value in row.items()} for row in rows]


class Duckdb:
    def __init__(self):
        try:
            import duckdb
        except ImportError:
            missing("the Python module duckdb is not here")
        self.error = duckdb.Error
        self.db = duckdb.connect()
        self.db.execute("set timezone = 'UTC'")

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.db.close()

    def run(self, text):
        self.db.execute(text)

    def cut_off(self, text):
        """A script that ends too soon, as a reader of lines sees it."""
        for statement in text.split(";\n"):
            try:
                self.db.execute(statement)
            except self.error:
                break
        self.db.execute("rollback")

    def rows(self, query):
        answer = self.db.execute(query)
        names = [column[0] for column in answer.description]
        return [dict(zip(names, row)) for row in answer.fetchall()]

    def load(self, export):
        """A folder of JSON lines."""
        self.run(pathlib.Path(export, "tables.sql").read_text())
        for table in tables(export):
            file = pathlib.Path(export, f"{table}.ndjson")
            # The column types are asked of the table, so that a column of nulls has its own.
            types = dict(self.db.execute(
                "select column_name, data_type from duckdb_columns() where table_name = ?",
                [table]).fetchall())
            for line in file.read_text().splitlines():
                unknown = set(json.loads(line)) - set(types)
                assert not unknown, f"{table}: no column for {unknown}"
            if file.stat().st_size:
                self.db.execute(
                    f"insert into {table} by name select * from read_json(?, "
                    "format = 'newline_delimited', columns = " + struct(types) + ")", [str(file)])


def struct(types):
    return "{" + ", ".join(f"'{name}': '{kind}'" for name, kind in types.items()) + "}"


class Sqlite:
    def __init__(self):
        if sqlite3.sqlite_version_info < (3, 24, 0):
            missing(f"SQLite is of {sqlite3.sqlite_version}, before ON CONFLICT")
        self.db = sqlite3.connect(":memory:", isolation_level=None)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.db.close()

    def run(self, text):
        self.db.executescript(text)

    def cut_off(self, text):
        try:
            self.db.executescript(text)
        except sqlite3.Error:
            pass
        if self.db.in_transaction:
            self.db.rollback()

    def rows(self, query):
        answer = self.db.execute(query)
        names = [column[0] for column in answer.description]
        return [dict(zip(names, row)) for row in answer.fetchall()]

    def load(self, export):
        self.run(pathlib.Path(export, "tables.sql").read_text())
        for table in tables(export):
            for line in pathlib.Path(export, f"{table}.ndjson").read_text().splitlines():
                row = json.loads(line)
                names = ", ".join(f'"{name}"' for name in row)
                marks = ", ".join("?" for _ in row)
                self.db.execute(f"insert into {table} ({names}) values ({marks})",
                                [in_utc(value) for value in row.values()])


def in_utc(value):
    """SQLite has no times: they are in order as text in UTC alone."""
    if isinstance(value, str) and re.match(r"^\d{4}-\d\d-\d\dT", value):
        moment = datetime.datetime.fromisoformat(value).astimezone(datetime.timezone.utc)
        return moment.isoformat(" ")
    return value


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

    def run(self, text):
        self.sql("set client_min_messages = warning;\n" + text)

    def cut_off(self, text):
        self.sql(text, check=False)

    def rows(self, query):
        query = query.strip().rstrip(";")
        answer = self.sql(f"select coalesce(json_agg(row_to_json(q)), '[]') from (\n{query}\n) q;")
        return json.loads(answer.stdout)

    def load(self, export):
        self.run(pathlib.Path(export, "tables.sql").read_text())
        for table in tables(export):
            # psql reads the file as the caller; the server's user need not be let in.
            self.sql("create temporary table lines (line text);\n"
                     f"\\copy lines from '{export}/{table}.ndjson' with "
                     "(format csv, quote e'\\x01', delimiter e'\\x02')\n"
                     f"insert into {table} select row.* from lines, "
                     f"jsonb_populate_record(null::{table}, line::jsonb) as row;\n")


def made(text):
    return re.findall(r'^create table if not exists "(\w+)"', text, re.MULTILINE)


def image(db, names):
    """All that stands in the tables, as one digest."""
    whole = hashlib.sha256()
    for name in names:
        rows = [json.dumps(row, sort_keys=True) for row in plain_rows(db.rows(f'select * from "{name}"'))]
        whole.update(f"{name}\n".encode())
        whole.update("\n".join(sorted(rows)).encode())
    return whole.hexdigest()


def load_script(db, file, references):
    text = pathlib.Path(file).read_text()
    names = made(text)
    db.run(text)
    if references and isinstance(db, Postgres):
        db.run(references.read_text())
    loaded = image(db, names)
    for share in (0.3, 0.6, 0.999):
        db.cut_off(text[:int(len(text) * share)])
        assert image(db, names) == loaded, f"{file} cut off at {share} changed something"
    db.run(text)
    assert image(db, names) == loaded, f"{file} loaded twice changed something"
    return names


def main(engine, folder, *exports):
    with {"duckdb": Duckdb, "postgres": Postgres, "sqlite": Sqlite}[engine]() as db:
        names = []
        for export in exports:
            if export.endswith(".sql"):
                first = pathlib.Path(folder, "postgresql", "references.sql")
                names = load_script(db, export, None if names else first)
            else:
                db.load(export)
                names = tables(export)
        count = lambda name: db.rows(f'select count(*) as n from "{name}"')[0]["n"]
        answers = {"counts": {name: count(name) for name in names}}
        for query in queries(folder):
            answers[query.stem] = plain_rows(db.rows(query.read_text()))
        # What names what, asked of every engine.
        orphans = []
        for table, column, other in re.findall(
                r'alter table "(\w+)" add foreign key \((?:"boat", )?"(\w+)"\) references "(\w+)"',
                pathlib.Path(folder, "postgresql", "references.sql").read_text()):
            key = "boat" if other == "boats" else "key"
            lost = db.rows(f'select count(*) as n from "{table}" t where t."{column}" is not null and '
                           f'not exists (select 1 from "{other}" o where o.boat = t.boat and '
                           f'o."{key}" = t."{column}")')[0]["n"]
            if lost:
                orphans.append(f"{table}.{column}: {lost} name no row of {other}")
        answers["orphans"] = orphans
        print(json.dumps(answers))


main(*sys.argv[1:])
