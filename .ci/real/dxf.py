"""Draws a DXF file with a general-purpose library, by drawing layer and colour.

    dxf.py FILE FOLDER SIZE WIDTH

writes FOLDER/plan.json and a picture in SVG for each layer and colour: lines as
wide as WIDTH (mm), areas filled, the longer side of all of it SIZE mm. What the
library does not draw as a line or an area is left out.
"""
import json
import logging
import math
import re
import sys
from pathlib import Path

import ezdxf
from ezdxf.xclip import XClip
from ezdxf import recover
from ezdxf.colors import DXF_DEFAULT_COLORS
from ezdxf.addons.drawing import Frontend, RenderContext
from ezdxf.addons.drawing.backend import Backend
from ezdxf.addons.drawing.config import BackgroundPolicy, ColorPolicy, Configuration, HatchPolicy, LinePolicy
from ezdxf.path import Command, make_path, shapes, tools

logging.disable(logging.CRITICAL)
PAPER = "#ffffff"
ESCAPED = re.compile(r"\\U\+([0-9A-Fa-f]{4})")
# What the program does not paint, and says so.
NEITHER = {"TEXT", "MTEXT", "ATTRIB", "ATTDEF", "DIMENSION", "ARC_DIMENSION", "LARGE_RADIAL_DIMENSION", "LEADER", "MULTILEADER", "MLEADER", "TOLERANCE",
           "POINT", "RAY", "XLINE", "IMAGE", "OLE2FRAME", "ACAD_TABLE"}


# Arcs are drawn of a curve a degree: of one a quarter, as the library makes them, a
# circle is off by 0.03 % of its radius, and the renderer flattens long curves coarsely.
by_ellipse, by_arc = tools.cubic_bezier_from_ellipse, tools.cubic_bezier_arc_parameters
tools.cubic_bezier_from_ellipse = lambda ellipse, segments=1: by_ellipse(ellipse, max(segments, math.ceil(math.degrees(ellipse.param_span))))
tools.cubic_bezier_arc_parameters = lambda start, end, segments=1: by_arc(start, end, max(segments, math.ceil(math.degrees(end - start))))
shapes.cubic_bezier_arc_parameters = tools.cubic_bezier_arc_parameters


def cut_ends(points, entity):
    """Which ends of a line that a clip may have cut are none of its own."""
    own = make_path(entity)
    ends = [] if own.is_closed else [own.start, own.end]
    return [all(math.dist(p, (e.x, e.y)) > 1e-6 for e in ends) for p in (points[0], points[-1])]


def shortened(run, by):
    """A line that ends before its cuts, as the round end of a mark must not reach over them."""
    (_, cut), run = run[0], run[1:]
    points = [run[0][1][0]]
    for letter, part in run[1:]:
        if letter == "L":
            points += part
        else:
            start, controls = points[-1], part
            for k in range(1, 101):
                level, t = [start, *controls], k / 100
                while len(level) > 1:
                    level = [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for a, b in zip(level, level[1:])]
                points.append(level[0])
    for end in cut:
        left = by if end else 0
        while left > 0 and len(points) > 1:
            (ax, ay), (bx, by_) = points[0], points[1]
            step = math.dist(points[0], points[1])
            if step > left:
                points[0] = (ax + (bx - ax) * left / step, ay + (by_ - ay) * left / step)
                break
            left -= step
            points.pop(0)
        points.reverse()
    return [("M", points[:1]), ("L", points[1:])] if len(points) > 1 else []


# The greys that end the list of numbered colours, of which libraries differ.
for number, grey in zip(range(250, 255), (0x33, 0x5B, 0x84, 0xAD, 0xD6)):
    DXF_DEFAULT_COLORS[number] = grey * 0x010101


class Recorder(Backend):
    """Keeps what is drawn, in drawing units: (layer, colour, kind, path)."""

    def __init__(self):
        super().__init__()
        self.marks = []
        self.skipped = set()
        self.box = [math.inf, math.inf, -math.inf, -math.inf]

    def set_background(self, color):
        pass

    def clear(self):
        pass

    def whole(self):
        """What the recipe chooses: the entity of the drawing, not what it is made of."""
        return self.entity_stack[0][0].dxftype() if self.entity_stack else ""

    def keep(self, kind, commands, properties):
        if kind == "area" and self.entity_stack and self.entity_stack[-1][0].dxftype() in ("LWPOLYLINE", "POLYLINE"):
            kind = "band"  # a line with a width of its own
        if self.entity_stack and self.entity_stack[-1][0].dxftype() == "INSERT":
            return  # the frame of a clip
        for e, _ in self.entity_stack:
            if e.dxftype() == "WIPEOUT":
                kind = "wipe"
            elif e.dxftype() in NEITHER:
                self.skipped.add((e.dxftype(), properties.layer))
                return
        commands = [(letter, [(p[0], p[1]) for p in run]) for letter, run in commands]
        points = [p for _, run in commands for p in run]
        if not points or not all(math.isfinite(c) for p in points for c in p):
            return
        for x, y in points:
            b = self.box
            self.box = [min(b[0], x), min(b[1], y), max(b[2], x), max(b[3], y)]
        if any(e.dxftype() == "INSERT" and XClip(e).is_clipping_enabled for e, _ in self.entity_stack):
            if kind == "line" and all(p == points[0] for p in points):
                return  # a line that touches a clip from outside
            if kind == "line":
                commands = [("cut", cut_ends(points, self.entity_stack[-1][0]))] + commands
        self.marks.append((properties.layer, properties.color, kind, commands))

    def draw_point(self, pos, properties):
        self.keep("line", [("M", [pos]), ("L", [pos])], properties)

    def draw_line(self, start, end, properties):
        self.keep("line", [("M", [start]), ("L", [end])], properties)

    def draw_path(self, path, properties):
        self.keep("line", commands(path), properties)

    def draw_filled_paths(self, paths, properties):
        run = []
        for path in paths:
            run += commands(path) + [("Z", [])]
        self.keep("area", run, properties)

    def draw_filled_polygon(self, points, properties):
        vertices = list(points.vertices())
        if vertices:
            self.keep("area", [("M", vertices[:1]), ("L", vertices[1:]), ("Z", [])], properties)

    def draw_image(self, image_data, properties):
        pass


def commands(path):
    out = []
    for part in path.to_path().sub_paths():
        out.append(("M", [part.start]))
        for c in part.commands():
            if c.type == Command.LINE_TO:
                out.append(("L", [c.end]))
            elif c.type == Command.CURVE3_TO:
                out.append(("Q", [c.ctrl, c.end]))
            elif c.type == Command.CURVE4_TO:
                out.append(("C", [c.ctrl1, c.ctrl2, c.end]))
            else:
                out.append(("M", [c.end]))
    return out


class Patient(Frontend):
    """Leaves out what the library cannot draw, such as a copy without a size."""

    def draw_entity(self, entity, properties):
        depth = len(self.pipeline.backend.entity_stack)
        try:
            super().draw_entity(entity, properties)
        except ZeroDivisionError:
            del self.pipeline.backend.entity_stack[depth:]


def read(file):
    try:
        return ezdxf.readfile(file)
    except (ezdxf.DXFError, ValueError):
        return recover.readfile(file)[0]


def main(file, folder, size, width):
    doc = read(file)
    recorder = Recorder()
    config = Configuration(
        line_policy=LinePolicy.SOLID, hatch_policy=HatchPolicy.SHOW_SOLID, color_policy=ColorPolicy.COLOR,
        background_policy=BackgroundPolicy.WHITE, circle_approximation_count=720, max_flattening_distance=1e-4,
    )
    Patient(RenderContext(doc), recorder, config=config).draw_layout(doc.modelspace())
    plan = {"layers": []}
    if recorder.marks:
        plan = pictures(recorder, folder, size, width)
    plan["skipped"] = sorted(recorder.skipped)
    (folder / "plan.json").write_text(json.dumps(plan))


def pictures(recorder, folder, size, width):
    left, low, right, high = recorder.box
    span = max(right - left, high - low) or 1
    scale = (size - 2 * width) / span
    # A whole number of pixels of 0.1 mm.
    w, h = (math.ceil(((b - a) * scale + 2 * width) * 10 - 1e-6) / 10 for a, b in ((left, right), (low, high)))

    def text(run):
        return " ".join(letter + " ".join(f"{(x - left) * scale + width:.5f},{h - width - (y - low) * scale:.5f}" for x, y in points) for letter, points in run)

    marks = []
    for its, own, kind, run in recorder.marks:
        if run and run[0][0] == "cut":
            run = shortened(run, width / 2 / scale)
        if run:
            marks.append((its, own, kind, run))
    recorder.marks = marks
    groups = {}
    for layer, colour, kind, _ in recorder.marks:
        if kind != "wipe" and colour[:7].lower() != PAPER:
            groups.setdefault((layer, colour[:7].lower()), set()).add(kind)
    # Dots, lines shorter than they are wide, are as large as the renderer's own tolerance makes them.
    dots = {}
    for its, own, kind, run in recorder.marks:
        points = [p for _, part in run for p in part]
        dot = kind == "line" and all(max(p[k] for p in points) - min(p[k] for p in points) < width / scale for k in (0, 1))
        dots.setdefault((its, own[:7].lower()), []).append(dot)
    for group, found in dots.items():
        if all(found):
            groups.pop(group, None)
    layers = []
    for number, ((layer, colour), kinds) in enumerate(groups.items()):
        out = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w:.5f} {h:.5f}">']
        lines = []

        def stroke():
            # Lines are one path, so that the edges of those that lie on each other are not painted twice.
            if lines:
                out.append(f'<path fill="none" stroke="#000000" stroke-width="{width}" stroke-linecap="round" stroke-linejoin="round" d="{" ".join(lines)}"/>')
            lines.clear()

        for its, own, kind, run in recorder.marks:
            chosen = (its, own[:7].lower()) == (layer, colour)
            if chosen and kind == "line":
                lines.append(text(run))
            elif chosen or kind != "line":
                stroke()
                fill = "#000000" if chosen and kind != "wipe" else "#ffffff"
                out.append(f'<path fill="{fill}" fill-rule="evenodd" d="{text(run)}"/>')
        stroke()
        name = f"{number}.svg"
        (folder / name).write_text("\n".join(out) + "\n</svg>\n")
        layers.append({"layer": ESCAPED.sub(lambda m: chr(int(m[1], 16)), layer), "colour": colour, "picture": name, "lines": bool(kinds & {"line", "band"}), "areas": "area" in kinds,
                       "bands": "band" in kinds})
    return {"scale": scale, "x": width - left * scale, "y": width - low * scale, "width": w, "height": h, "layers": layers}


main(sys.argv[1], Path(sys.argv[2]), float(sys.argv[3]), float(sys.argv[4]))
