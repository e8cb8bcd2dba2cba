#!/usr/bin/python3
"""Writes drawings with a general-purpose library, reads them with
runner/drawing, and compares the geometry with what the library makes of its
own files: at most 0.005 mm apart everywhere, areas equal within 0.01 %.

    .ci/ezdxf/cross_check.py [--keep FOLDER]

Needs Debian's python3-ezdxf and Go. Ends with 1 if anything differs.
"""
import argparse
import io
import json
import os
import pathlib
import subprocess
import sys
import tempfile

import ezdxf

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.dirname(__file__))
import cases
import compare
import reference

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent
UNIT_MM = {0: 1.0, 1: 25.4, 4: 1.0, 5: 10.0, 6: 1000.0}


def habits(name, data):
    """Ways in which other programs write the same text file."""
    text = data.replace(b"\r\n", b"\n")
    yield name, text
    if name in ("light_polylines-R2000", "blocks_nested-R12", "loose_square-R12", "layer_with_umlaut-R2018"):
        yield name + "-crlf", text.replace(b"\n", b"\r\n")
        yield name + "-cr", text.replace(b"\n", b"\r")
        yield name + "-mark", b"\xef\xbb\xbf" + text
        lines = text.split(b"\n")
        blanks = [b"   " + l + b"  " if i % 2 == 0 and l else l + b" " for i, l in enumerate(lines)]
        yield name + "-blanks", b"\n".join(blanks)
        remarks = []
        for i in range(0, len(lines) - 1, 2):
            if i % 14 == 0:
                remarks += [b"999", b"a remark"]
            remarks += lines[i:i + 2]
        yield name + "-remarks", b"\n".join(remarks) + b"\n"


def write_all(folder):
    jobs = []
    for name, draw, versions, expect in cases.ALL:
        for version in versions:
            doc = ezdxf.new(version, setup=False)
            doc.header["$INSUNITS"] = expect.get("units", 4)
            if "encoding" in expect and version in ("R12", "R2000"):
                doc.encoding = expect["encoding"]
                doc.header["$DWGCODEPAGE"] = "ANSI_" + expect["encoding"][2:]
            draw(doc, doc.modelspace())
            full = f"{name}-{version}"
            out = io.StringIO()
            doc.write(out)
            data = out.getvalue().encode(doc.output_encoding, errors="dxfreplace")
            if "swap" in expect:
                old, new = expect["swap"]
                assert data.count(old) == 1, full
                data = data.replace(old, new)
            for label, content in habits(full, data):
                path = folder / (label + ".dxf")
                path.write_bytes(content)
                jobs.append((label, path, doc, expect))
            if version != "R2007" and name in ("light_polylines", "blocks_nested", "hatch_edges", "splines", "widths", "lines", "old_polylines", "layer_with_umlaut"):
                path = folder / (full + "-binary.dxf")
                doc.saveas(path, fmt="bin")
                jobs.append((full + "-binary", path, doc, expect))
    return jobs


def wanted(entity, doc, layer):
    if entity.dxf.get("invisible", 0) or entity.dxf.get("paperspace", 0):
        return False
    name = entity.dxf.layer
    if layer and name.lower() != layer.lower():
        return False
    if doc.layers.has_entry(name):
        entry = doc.layers.get(name)
        return not (entry.is_off() or entry.is_frozen() or not entry.dxf.get("plot", 1))
    return True


def check(label, doc, expect, got):
    faults = []
    if got["errors"]:
        return ["problems: " + "; ".join(got["problems"])]
    warned = any(p.startswith("warning") for p in got["problems"] or [])
    if warned != expect.get("warns", False):
        faults.append(f"warnings: {got['problems']}")
    mm = expect["unit"][1] if "unit" in expect else UNIT_MM[expect.get("units", 4)]
    want = []
    for e in doc.modelspace():
        if wanted(e, doc, expect.get("layer")):
            want += reference.shapes(e, reference.FINE / mm)
    contours = got["contours"] or []
    for word, flag in (("closed", True), ("open", False)):
        n = sum(c["closed"] == flag for c in contours)
        if n != expect.get(word, 0):
            faults.append(f"{n} {word} contours, not {expect.get(word, 0)}")
    ours = [([tuple(p) for p in c["points"]], c["closed"]) for c in contours]
    theirs = [([(x * mm, y * mm) for x, y in s.points], s.closed) for s in want]
    limit = max(0.005, expect.get("tolerance", 0))
    for word, far in (("ours from theirs", compare.farthest(ours, theirs)), ("theirs from ours", compare.farthest(theirs, ours))):
        if not far <= limit:
            faults.append(f"{word}: {far} mm")
    our_area = sum(reference.area(p) for p, closed in ours if closed)
    their_area = expect.get("area", sum(reference.area(p) for p, closed in theirs if closed))
    if abs(our_area - their_area) > 1e-4 * their_area and not expect.get("tolerance"):
        faults.append(f"area {our_area}, not {their_area}")
    for what, n in expect.get("passed", {}).items():
        if got["passed"].get(what) != n:
            faults.append(f"skipped: {got['passed']}, not {what} {n}")
    for layer, n in expect.get("layer_of", {}).items():
        if sum(c["layer"] == layer for c in contours) != n:
            faults.append(f"layers {[c['layer'] for c in contours]}")
    if expect.get("colours"):
        want = reference.colours(doc.modelspace(), doc)
        if len(contours) != len(want):
            faults.append(f"{len(contours)} colours, not {len(want)}")
        faults += [f"contour {i}: colour {c['colour']}, not {w}" for i, (c, w) in enumerate(zip(contours, want)) if c["colour"] != w]
    if "widths" in expect and [c["widths"] for c in contours] != expect["widths"]:
        faults.append(f"widths {[c['widths'] for c in contours]}")
    return faults


def main():
    args = argparse.ArgumentParser(description=__doc__)
    args.add_argument("--keep", type=pathlib.Path)
    args = args.parse_args()
    with tempfile.TemporaryDirectory() as temporary:
        folder = args.keep or pathlib.Path(temporary)
        folder.mkdir(parents=True, exist_ok=True)
        jobs = write_all(folder)
        requests = []
        for label, path, _, expect in jobs:
            r = {"path": str(path), "layer": expect.get("layer", "")}
            if "colours" in expect:
                r["byColour"] = True
            if "unit" in expect:
                r["unit"], r["mm"] = expect["unit"]
                r["override"] = expect.get("override", False)
            elif label.find("R12") >= 0:
                r.update(unit="mm", mm=1)
            requests.append(r)
        listing = folder / "cases.json"
        listing.write_text(json.dumps(requests))
        run = subprocess.run(["go", "run", str(HERE / "contours.go"), str(listing)], cwd=ROOT, stdout=subprocess.PIPE, text=True)
        if run.returncode != 0:
            return 1
        answers = [json.loads(line) for line in run.stdout.splitlines()]
        failed = 0
        for (label, _, doc, expect), got in zip(jobs, answers, strict=True):
            faults = check(label, doc, expect, got)
            if faults:
                failed += 1
                print(f"{label}: " + "\n    ".join(faults))
        kinds = {e for a in answers for e in a["read"]}
        missing = {"LINE", "ARC", "CIRCLE", "ELLIPSE", "LWPOLYLINE", "POLYLINE", "SPLINE", "INSERT", "HATCH", "MPOLYGON", "SOLID", "TRACE"} - kinds
        if missing or len(jobs) < 60:
            print(f"not covered: {sorted(missing)}; {len(jobs)} files")
            failed += 1
        print(f"{len(jobs)} drawings compared, {failed} differ")
        return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
