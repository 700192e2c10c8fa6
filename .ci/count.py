#!/usr/bin/env python3
"""Reads the JSON lines of `go test -json`: prints failures with their output, every skip with its reason, and a count."""
import json
import sys

passed, failed, skipped, output = [], [], [], {}
for line in open(sys.argv[1], encoding="utf-8", errors="replace"):
    try:
        event = json.loads(line)
    except ValueError:
        print(line, end="")
        continue
    key = (event.get("Package") or event.get("ImportPath", "").split()[0], event.get("Test"))
    action = event["Action"]
    if action in ("output", "build-output"):
        output.setdefault(key, []).append(event["Output"])
    elif action in ("pass", "fail", "skip"):
        if action == "fail":
            failed.append(key)
        elif key[1]:
            (passed if action == "pass" else skipped).append(key)
    if action == "build-fail":
        failed.append(key)
for key in failed:
    print(f"--- failed: {key[0]} {key[1] or ''}")
    print("".join(output.get(key, [])[-60:]), end="")
for key in skipped:
    why = [s.strip() for s in output.get(key, []) if not s.strip().startswith(("===", "---"))]
    print(f"skipped: {key[0]} {key[1]}: {' '.join(why)}")
print(f"{len(passed)} passed, {len(failed)} failed, {len(skipped)} skipped")
sys.exit(1 if failed or not passed else 0)
