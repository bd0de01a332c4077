#!/usr/bin/env python3
"""Reads a calendar file with another program's reader (PyPI package icalendar, the version in
requirements.txt) and prints its to-dos and events as JSON. Ends with 77 where the reader is not here."""

import json
import pathlib
import sys

try:
    import icalendar
except ImportError:
    print("the Python module icalendar is not here")
    sys.exit(77)

calendar = icalendar.Calendar.from_ical(pathlib.Path(sys.argv[1]).read_bytes())
found = []
for part in calendar.walk():
    if part.name not in ("VTODO", "VEVENT"):
        continue
    assert not part.errors, part.errors
    day = part["DUE"] if part.name == "VTODO" else part["DTSTART"]
    found.append({
        "part": part.name, "uid": str(part["UID"]), "summary": str(part["SUMMARY"]),
        "description": str(part["DESCRIPTION"]), "day": day.dt.isoformat(),
        "stamp": part["DTSTAMP"].dt.isoformat(), "sequence": int(part["SEQUENCE"]),
        "alarms": [str(alarm["TRIGGER"].dt) for alarm in part.walk("VALARM")],
    })
print(json.dumps(found))
