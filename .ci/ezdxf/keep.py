#!/usr/bin/python3
"""Copies a few of the drawings of cross_check.py into the project's tests.

    .ci/ezdxf/cross_check.py --keep FOLDER
    .ci/ezdxf/keep.py FOLDER runner/drawing/testdata

Only what the reader looks at is kept: of the header the version, the code
page and the units, of the tables the layers; classes, objects, plot settings
with the names of devices, and data of applications are left out, and the name
in the head of binary files is blanked.
"""
import pathlib
import struct
import sys

KEEP = ["blocks_nested-R12", "blocks_mirrored_plane-R2000", "hatch_edges-R2000", "hatch_spline_edges-R2018", "hatch_ellipse_edges-R2000",
        "splines-R2000", "splines_rational-R2018", "splines_closed-R2000", "spline_of_fit_points-R2000", "lines-R12", "light_polylines-R2000",
        "old_polylines-R12", "polyline_fitted-R12", "widths-R2000", "layer_in_japanese-R2000", "layer_with_umlaut-R12", "skipped-R12",
        "solids-R2018", "tilted-R2000", "mpolygon-R2018"]
BINARY = {"lines-R12": 1, "splines-R2000": 2, "blocks_nested-R12": 1, "hatch_edges-R2000": 2}
VARIABLES = {b"$ACADVER", b"$DWGCODEPAGE", b"$INSUNITS", b"$MEASUREMENT"}


def groups(data):
    lines = data.replace(b"\r\n", b"\n").split(b"\n")
    return [(int(c), v) for c, v in zip(lines[0::2], lines[1::2])]


def strip(data):
    section = table = variable = None
    in_data = False
    out = []
    all_groups = groups(data)
    for i, (code, value) in enumerate(all_groups):
        if (code, value) == (0, b"SECTION"):
            section = all_groups[i + 1][1]
        if (code, value) == (0, b"TABLE"):
            table = all_groups[i + 1][1]
        if code == 0:
            in_data = False
        if code == 9:
            variable = value
        keep = section in (b"HEADER", b"TABLES", b"BLOCKS", b"ENTITIES") or value == b"EOF" and code == 0
        if section == b"HEADER" and code != 0 and variable not in VARIABLES | {None}:
            keep = False
        if section == b"TABLES" and table is not None and table != b"LAYER":
            keep = False
        if code == 1001:
            in_data = True
        if keep and not in_data and not (section == b"TABLES" and code in (390, 347, 348)):
            out.append((code, value))
        if (code, value) == (0, b"ENDTAB"):
            table = None
        if (code, value) == (0, b"ENDSEC"):
            section = variable = None
    return out


def text(stripped):
    return b"".join(b"%3d\n%s\n" % g for g in stripped)


def size(code):
    for limit, kind in ((10, "s"), (60, "d"), (80, "h"), (90, "s"), (100, "i"), (110, "s"), (150, "d"), (160, "s"), (170, "q"), (180, "h"),
                        (210, "s"), (240, "d"), (270, "s"), (290, "h"), (300, "b"), (310, "s"), (320, "c"), (370, "s"), (390, "h"), (400, "s"),
                        (410, "h"), (420, "s"), (430, "i"), (440, "s"), (460, "i"), (470, "d"), (1010, "s"), (1060, "d"), (1071, "h")):
        if code < limit:
            return kind
    return "i"


def binary(stripped, code_bytes):
    out = [b"xxxxxxx Binary DXF\r\n\x1a\x00"]
    for code, value in stripped:
        out.append(struct.pack("<B" if code_bytes == 1 else "<h", code))
        kind = size(code)
        if kind == "s":
            out.append(value + b"\0")
        elif kind == "d":
            out.append(struct.pack("<d", float(value)))
        else:
            out.append(struct.pack("<" + kind, int(value)))
    return b"".join(out)


def main():
    source, target = map(pathlib.Path, sys.argv[1:3])
    for name in KEEP:
        stripped = strip((source / (name + ".dxf")).read_bytes())
        (target / (name + ".dxf")).write_bytes(text(stripped))
        if name in BINARY:
            (target / (name + "-binary.dxf")).write_bytes(binary(stripped, BINARY[name]))


if __name__ == "__main__":
    main()
