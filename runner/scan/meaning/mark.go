package meaning

import (
	"sort"

	"mahlstick/runner/vector"
)

// pressing is how a stroke was pressed along its way, in mm.
type pressing struct{ ways, at []float64 }

// press is that at a way, and how fast it rises. Beyond the ends it stays.
func (p *pressing) press(way float64) (press, rise float64) {
	i := sort.SearchFloat64s(p.ways, way)
	switch i {
	case 0:
		return p.at[0], 0
	case len(p.ways):
		return p.at[i-1], 0
	}
	rise = (p.at[i] - p.at[i-1]) / (p.ways[i] - p.ways[i-1])
	return p.at[i-1] + float64(rise*(way-p.ways[i-1])), rise
}

// at is the press at which a layer's brush paints a width.
func at(l Layer, width float64) (press float64, ok bool) {
	press, err := l.Curve.PressFor(width)
	return press, err == nil
}

// mark is a place of a stroke, as the brush left it.
type mark struct {
	f          *fitting
	layer      int
	asked, way float64
	press      float64
	along      *pressing
	lifting    bool
	metres     float64 // painted by the brush before
	at, dir    vector.XY
}

// width is by how much the mark is wider than asked, by the unknowns, and how that
// changes with each.
func (m mark) width(c, row []float64) float64 {
	f, l := m.f, m.f.r.Layers[m.layer]
	b := l.Brush
	// The mark that trails more lies where the brush was less far: what lies here was
	// painted when it was farther.
	share := f.x.share(b, m.press)
	moved := f.x.row()
	f.x.place(moved, m.layer, m.at, m.dir)
	press, rise := m.along.press(m.way + float64(f.x.get(c, Lag, b)*share) - dot(c, moved))
	press += f.x.get(c, Touch, m.layer)
	if m.lifting {
		press += f.x.get(c, Play, b)
	}
	width, slope := table(l, press)
	bend := f.x.get(c, Bend, b)
	width += float64(f.x.get(c, Slope, b)*press) + float64(bend*bent(press, f.r.deepest[b]))
	slope += f.x.get(c, Slope, b) + float64(bend*(2*press-f.r.deepest[b]))
	worn := 1 + float64(f.x.get(c, Wear, b)*m.metres)
	f.x.place(row, m.layer, m.at, m.dir.Times(-float64(slope*rise)))
	f.x.put(row, Touch, m.layer, slope)
	f.x.shape(row, b, press)
	f.x.put(row, Wear, b, float64(width*m.metres))
	f.x.put(row, Lag, b, float64(slope*rise)*share)
	if m.lifting {
		f.x.put(row, Play, b, slope)
	}
	return float64(width*worn) - m.asked
}

// table is the width that the table has for a press, and its slope; beyond its ends
// both go on as they are there.
func table(l Layer, press float64) (width, slope float64) {
	within := max(0, min(press, l.Curve.SafePress()))
	width, _ = l.Curve.WidthAt(within)
	slope, _ = l.Curve.Slope(within)
	return width + float64(slope*(press-within)), slope
}
