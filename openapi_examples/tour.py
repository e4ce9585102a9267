"""The whole job from Python: plays the numbered example calls against a running server.

BASE and KEY name the server and a key with every scope; the database should be empty.
All data is invented. Run: BASE=http://127.0.0.1:8000 KEY=kmk_… python tour.py
"""

import base64
import json
import os
import pathlib
import re
import sys

import httpx

FOLDER = pathlib.Path(__file__).parent


def at(value, pointer):
    """The value at a JSON pointer."""
    for step in pointer.split("/")[1:]:
        value = value[int(step)] if isinstance(value, list) else value[step]
    return value


def main():
    kept = {}
    headers = {"Authorization": "Bearer " + os.environ["KEY"]}
    with httpx.Client(base_url=os.environ["BASE"], headers=headers, timeout=30) as kettlemark:
        for file in sorted(FOLDER.glob("[0-9]*.json")):
            call = json.loads(file.read_text("utf-8"))
            path = re.sub(r"\{([a-z_]+)\}", lambda name: kept[name[1]], call["path"])
            sent = {"json": call.get("request"), "headers": call.get("headers", {})}
            if "content" in call:  # a file
                sent = {"content": base64.b64decode(call["content"]), "headers": call["headers"]}
            answer = kettlemark.request(call["method"], path, **sent)
            if answer.status_code != call["status"]:
                sys.exit(f"{file.name}: {answer.status_code} {answer.text}")
            for name, pointer in call.get("keep", {}).items():
                kept[name] = str(at(answer.json(), pointer))
            if call["method"] != "GET":
                print(answer.json().get("summary", call["title"]))
        sheet = kettlemark.get(f"/l/{kept['jar']}.json").json()
    for seen in sheet["saw"]:
        print(" ", seen["text"])
    print(" ", sheet["not_tried"]["text"])


if __name__ == "__main__":
    main()
