"""What a general-purpose reader (ezdxf) makes of a drawing, as polylines.

Only the geometry of entities is asked for, one kind at a time, so that the
flattening is exact where the reader has an exact one; arcs of polylines are
taken as arcs, not as the Bezier curves that its paths are made of.
"""
import math

from ezdxf.colors import BYBLOCK, BYLAYER, aci2rgb
from ezdxf.math import OCS, ConstructionArc, Vec2, Vec3, bulge_to_arc

FINE = 2e-5  # drawing units between a curve and the reference's chords


class Shape:
    def __init__(self, points, closed):
        self.points = [(p[0], p[1]) for p in points]
        self.closed = closed


def arc_points(center, radius, start, sweep, fine):
    """Points of a circle from the angle start on, radians."""
    step = 2 * math.acos(1 - min(fine / radius, 0.1))
    n = max(2, math.ceil(abs(sweep) / step))
    return [Vec3(center[0] + radius * math.cos(start + sweep * i / n),
                 center[1] + radius * math.sin(start + sweep * i / n), 0) for i in range(n + 1)]


def bulged(vertices, closed, fine):
    """Points of a 2D polyline of (x, y, bulge)."""
    out = []
    n = len(vertices)
    for i, (x, y, b) in enumerate(vertices):
        out.append(Vec3(x, y, 0))
        if i == n - 1 and not closed:
            break
        ex, ey, _ = vertices[(i + 1) % n]
        if b and (x, y) != (ex, ey):
            center, a0, a1, radius = bulge_to_arc((x, y), (ex, ey), b)
            if a1 < a0:
                a1 += 2 * math.pi
            pts = arc_points(center, radius, a0, a1 - a0, fine)
            out.extend(pts[1:-1] if b > 0 else pts[-2:0:-1])
    return out


def to_world(points, ocs, elevation):
    return [ocs.to_wcs(Vec3(p[0], p[1], elevation)) for p in points]


def shapes(entity, fine=FINE):
    kind = entity.dxftype()
    if kind == "LINE":
        return [Shape([entity.dxf.start, entity.dxf.end], False)]
    if kind in ("CIRCLE", "ARC"):
        center = entity.dxf.center
        start, sweep = 0.0, 2 * math.pi
        if kind == "ARC":
            start = math.radians(entity.dxf.start_angle)
            sweep = math.radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360.0) or 2 * math.pi
        pts = arc_points(center, entity.dxf.radius, start, sweep, fine)
        return [Shape(to_world(pts, entity.ocs(), center.z), kind == "CIRCLE")]
    if kind == "ELLIPSE":
        tool = entity.construction_tool()
        span = tool.param_span
        n = 2 + math.ceil(span / (2 * math.acos(1 - min(0.1, fine / tool.major_axis.magnitude))))
        params = [tool.start_param + span * i / n for i in range(n + 1)]
        return [Shape(list(tool.vertices(params)), span > 2 * math.pi - 1e-9)]
    if kind == "LWPOLYLINE":
        vertices = [(p[0], p[1], p[4]) for p in entity.get_points()]
        pts = bulged(vertices, entity.closed, fine)
        return [Shape(to_world(pts, entity.ocs(), entity.dxf.elevation), entity.closed)]
    if kind == "POLYLINE":
        if entity.is_3d_polyline:
            return [Shape([v.dxf.location for v in entity.vertices], entity.is_closed)]
        if not entity.is_2d_polyline:
            return []
        vertices = [v for v in entity.vertices if not v.dxf.flags & 16]
        pts = bulged([(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in vertices], entity.is_closed, fine)
        elevation = entity.dxf.elevation.z if entity.dxf.hasattr("elevation") else 0
        return [Shape(to_world(pts, entity.ocs(), elevation), entity.is_closed)]
    if kind == "SPLINE":
        pts = list(entity.construction_tool().flattening(fine, segments=16))
        return [Shape(pts, pts[0].isclose(pts[-1], abs_tol=1e-9))]
    if kind in ("SOLID", "TRACE"):
        return [Shape(entity.wcs_vertices(), True)]
    if kind == "INSERT":
        out = []
        for one in entity.multi_insert() if entity.mcount > 1 else [entity]:
            for child in one.virtual_entities():
                out.extend(shapes(child, fine))
        return out
    if kind in ("HATCH", "MPOLYGON"):
        return hatch(entity, fine)
    return []


def hatch(entity, fine):
    ocs, z = entity.ocs(), entity.dxf.elevation.z
    out = []
    for path in entity.paths.rendering_paths(entity.dxf.hatch_style if entity.dxftype() == "HATCH" else 0):
        if hasattr(path, "vertices"):
            out.append(Shape(to_world(bulged(path.vertices, True, fine), ocs, z), True))
            continue
        pts = []
        for e in path.edges:
            kind = type(e).__name__
            if kind == "LineEdge":
                run = [e.start, e.end]
            elif kind == "ArcEdge":
                start, sweep = math.radians(e.start_angle), math.radians(e.end_angle - e.start_angle)
                while sweep <= 0:
                    sweep += 2 * math.pi
                run = arc_points(e.center, e.radius, start, sweep, fine)
                run = run if e.ccw else run[::-1]
            elif kind == "EllipseEdge":
                tool = e.construction_tool()
                span = (e.end_angle - e.start_angle) >= 360 and 2 * math.pi or tool.param_span
                n = 2 + math.ceil(span / (2 * math.acos(1 - min(0.1, fine / tool.major_axis.magnitude))))
                run = list(tool.vertices([tool.start_param + span * i / n for i in range(n + 1)]))
                run = run if e.ccw else run[::-1]
            else:
                run = list(e.construction_tool().flattening(fine, segments=16))
            pts.extend(run)
        out.append(Shape(to_world([Vec3(p) for p in pts], ocs, z), True))
    return out


def colours(entities, doc, copy=None):
    """The colours of all entities, those of copies included, as #rrggbb; copy is
    the layer and the colour of the copy in which they are. Colour 7 is black on
    paper."""
    out = []
    for e in entities:
        layer = copy[0] if copy and e.dxf.layer == "0" else e.dxf.layer
        own = e.rgb, e.dxf.color
        if own[0] is None and own[1] == BYLAYER:
            entry = doc.layers.get(layer)
            own = entry.rgb, entry.color
        elif own[0] is None and own[1] == BYBLOCK:
            own = copy[1] if copy else (None, 7)
        if e.dxftype() == "INSERT":
            out += colours(doc.blocks.get(e.dxf.name), doc, (layer, own))
            continue
        rgb, index = own
        out.append("#%02x%02x%02x" % tuple(rgb or ((0, 0, 0) if index == 7 else aci2rgb(index))))
    return out


def area(points):
    return abs(sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(points, points[1:] + points[:1]))) / 2
