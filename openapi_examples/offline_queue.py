"""Weighings and notes from where there is no wifi: on the disk first, sent later, each kept once.

BASE and KEY (scope record) name the server, DEVICE this device, QUEUE its folder. Data invented.
BASE=… KEY=… python offline_queue.py SPAR-2611-07-L '{"weighing": {"line": 1, "amount": "1149.5"}}'
"""

import itertools
import json
import os
import pathlib
import sys
import time
from datetime import UTC, datetime

import httpx

HELD, SENT = (pathlib.Path(os.environ.get("QUEUE", ".")) / name for name in ("held.jsonl", "sent"))
BOOT = pathlib.Path("/proc/sys/kernel/random/boot_id")
STARTED = BOOT.read_text() if BOOT.exists() else str(time.time())  # an age holds since then alone


def held():
    return [json.loads(row) for row in HELD.open(encoding="utf-8")] if HELD.exists() else []


def hold(batch, entry):
    row = {"seq": len(held()) + 1, "batch": batch, "entry": entry, "started": STARTED}
    row |= {"up": time.monotonic(), "at": datetime.now(UTC).isoformat()}
    with HELD.open("a", encoding="utf-8") as file:
        file.write(json.dumps(row) + "\n")


def as_sent(row):
    age = {"age_s": round(time.monotonic() - row["up"], 1)} if row["started"] == STARTED else {}
    return {"seq": row["seq"], "happened_at": row["at"], **age, **row["entry"]}


def send():
    """All that no answer was seen for, batch by batch; what had arrived all the same is known."""
    sent = int(SENT.read_text()) if SENT.exists() else 0
    waiting = [row for row in held() if row["seq"] > sent][:500]
    for batch, rows in itertools.groupby(waiting, key=lambda row: row["batch"]):
        body = {"device_id": os.environ.get("DEVICE", "BENCH-TABLET"), "any_order": True}
        body |= {"sent_at": datetime.now(UTC).isoformat(), "entries": [*map(as_sent, rows)]}
        url = f"{os.environ['BASE']}/v1/batches/{batch}/entries"
        key = {"Authorization": "Bearer " + os.environ["KEY"]}
        answer = httpx.post(url, json=body, headers=key, timeout=8)
        if answer.status_code == 422:  # nothing was written; the rows told of are mended by hand
            sys.exit("\n".join(each["detail"] for each in answer.json()["errors"]))
        SENT.write_text(str(answer.raise_for_status().json()["last_seq"]))
        print(answer.json()["summary"])


if __name__ == "__main__":
    if sys.argv[1:]:
        hold(sys.argv[1], json.loads(sys.argv[2]))
    try:
        send()
    except httpx.HTTPError as wifi:
        print("later:", wifi)  # it is on the disk; nothing is lost
