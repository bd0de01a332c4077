"""Cuts the power of a file system while records are made, and looks what is left.

Run in a mount namespace of its own: unshare -m python3 power.py HANDLAMP FEEDER WORK CUTS [SABOTAGE]

FEEDER works HANDLAMP on the logbook $HANDLAMP_LOGBOOK by keys and commands. It prints "ack" with
who walked and the item once the screen counts a look as made, "ack" with an id once a command has
answered with it, and "pid" of the program on the terminal, which is no child of this one. The file system is ext4 in a file; FS_IOC_SHUTDOWN without a flush of log or data stops it
as a power cut does. Only what was acknowledged before the cut counts: a sync racing with it may
succeed and save nothing. The log is read here without the program. With SABOTAGE every sync is
skipped and reported as done, so that losses have to show. Prints one JSON object; exit 77 where
nothing may be mounted.
"""

import fcntl
import json
import os
import pathlib
import random
import select
import shutil
import signal
import struct
import subprocess
import sys
import time
import zlib

SHUTDOWN = 0x8004587D
WITHOUT_FLUSH = 2

HANDLAMP, FEEDER, WORK, CUTS = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3]), int(sys.argv[4])
SABOTAGE = len(sys.argv) > 5
IMAGE, MOUNT = WORK / "image", WORK / "mount"
BOOK = MOUNT / "book"
ENV = {"PATH": "/usr/bin:/bin:/usr/sbin:/sbin", "HOME": str(WORK), "TZ": "UTC", "HANDLAMP_LOGBOOK": str(BOOK),
       "HANDLAMP_TEST_FEED": str(BOOK)}


def run(*command):
    return subprocess.run(command, env=ENV, capture_output=True, text=True)


def mount():
    return run("mount", "-o", "loop", str(IMAGE), str(MOUNT))


def fresh():
    """An empty file system with a boat on it; false where that is forbidden."""
    if shutil.which("mkfs.ext4") is None:
        return False
    with open(IMAGE, "wb") as image:
        image.truncate(24 << 20)
    MOUNT.mkdir(exist_ok=True)
    made = run("mkfs.ext4", "-q", "-F", str(IMAGE))
    if made.returncode != 0 or mount().returncode != 0:
        return False
    profile = {"type": "boat", "name": "Grey Plover", "waters": "inshore", "units": "metric",
               "usual_hours_per_month": 15, "machines": [{"id": "main", "name": "Main engine", "hours": 1200.0}]}
    (WORK / "profile.json").write_text(json.dumps(profile))
    (WORK / "changed.json").write_text(json.dumps(profile | {"waters": "offshore"}))
    begun = run(HANDLAMP, "boat", "new", str(WORK / "profile.json"))
    assert begun.returncode == 0, begun.stderr
    return True


def on_disk():
    """Ids of all sound lines, read by the rules in the logbook's README, and who walked with the
    item of each look."""
    found, by, looks = set(), {}, []
    for file in BOOK.glob("log/**/*.jsonl"):
        for line in file.read_bytes().split(b"\n"):
            head, mark, tail = line.rpartition(b',"sum":"')
            if not mark or tail[:8] != b"%08x" % zlib.crc32(head):
                continue
            entry = json.loads(line)
            found.add(entry["id"])
            if entry["ev"] == "walk":
                by[entry["rec"]["walk"]] = entry["rec"].get("by")
            elif entry["ev"] == "look":
                looks.append((entry["rec"]["walk"], entry["rec"]["look"]["item"]))
    return found | {f"{by[walk]} {item}" for walk, item in looks if walk in by}


def feed():
    feeder = [FEEDER, "--exact", "power::feed_when_asked", "--nocapture"]
    if SABOTAGE:
        feeder = ["strace", "-f", "-o", "/dev/null", "-e", "trace=fsync,fdatasync",
                  "-e", "inject=fsync,fdatasync:retval=0"] + feeder
    return subprocess.Popen(feeder, env=ENV, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, start_new_session=True)


def acknowledged(pipe, before):
    """What was acknowledged so far, and the program on the terminal; the last line may be cut."""
    while select.select([pipe], [], [], 0)[0]:
        chunk = os.read(pipe.fileno(), 65536)
        if not chunk:
            break
        before += chunk
    whole = before[: before.rfind(b"\n") + 1]
    lines = whole.decode().split("\n")
    pids = [int(line[4:]) for line in lines if line.startswith("pid ")]
    return before, {line[4:] for line in lines if line.startswith("ack ")}, pids


def cut():
    folder = os.open(MOUNT, os.O_RDONLY)
    fcntl.ioctl(folder, SHUTDOWN, struct.pack("I", WITHOUT_FLUSH))
    os.close(folder)


def cycle(rng, told):
    """One cut: how many records were acknowledged before it, and which of them are gone."""
    feeder, heard, acked = feed(), b"", set()
    deadline = time.monotonic() + 20
    at_least = rng.randrange(1, 12)
    while len(acked) < at_least:
        assert time.monotonic() < deadline and feeder.poll() is None, "the feeder makes no records"
        time.sleep(0.001)
        heard, acked, _ = acknowledged(feeder.stdout, heard)
    time.sleep(rng.random() * 0.03)
    heard, acked, _ = acknowledged(feeder.stdout, heard)
    cut()
    # All at once, as the power takes them: nobody is left to write a word about it.
    os.killpg(feeder.pid, signal.SIGSTOP)
    for pid in acknowledged(feeder.stdout, heard)[2]:
        try:
            os.kill(pid, signal.SIGKILL)
        except ProcessLookupError:
            pass
    os.killpg(feeder.pid, signal.SIGKILL)
    feeder.wait()
    feeder.stdout.close()
    while run("umount", str(MOUNT)).returncode != 0:
        time.sleep(0.01)
    back = mount()
    assert back.returncode == 0, back.stderr
    told |= acked
    return len(acked), told - on_disk()


def main():
    if not fresh():
        sys.exit(77)
    rng = random.Random(20261125)
    told, acked, lost, unread = set(), 0, 0, []
    began, done = time.monotonic(), 0
    for done in range(1, CUTS + 1):
        count, gone = cycle(rng, told)
        acked += count
        lost += len(gone)
        told -= gone
        check = run(HANDLAMP, "logbook", "check", "--json")
        if check.returncode != 0 and not SABOTAGE:
            unread.append(check.stdout[-2000:] + check.stderr)
        if SABOTAGE and lost:
            break
        if done % 25 == 0:
            # A new file system before this one is full; its records have been judged.
            run("umount", str(MOUNT))
            fresh()
            told = set()
    run("umount", str(MOUNT))
    print(json.dumps({"cuts": done, "acknowledged": acked, "lost": lost, "unread": unread,
                      "seconds": round(time.monotonic() - began, 1)}))


main()
