package proof

import "math"

// loadLasts requires that from one load to the next no more is painted than one
// load of ink paints. What is gone over twice counts twice, and so does what is
// painted on scrap. The brush is loaded at pauses or, if there is a well, only
// there, and then before the first stroke, too.
func loadLasts(p *Path, lim *Limits) *verdict {
	wells := hasWell(lim.Stations)
	if lim.Load == nil && !wells {
		return nil
	}
	f := inked{path: p, lim: lim, load: lim.Load, brush: lim.Brush, loaded: !wells, wells: wells}
	c := &verdict{name: LoadLasts, why: "a brush that runs dry leaves pale strokes with gaps, which show when they are painted over"}
	switch {
	case f.load == nil:
		c.allowed = "a load from the well before the first stroke"
	case wells:
		c.allowed = f.text(f.allowed()) + " from load to load, the first before the first stroke"
	default:
		c.allowed = f.text(f.allowed()) + " from pause to pause"
	}
	most, over := 0.0, false
	p.marks(lim.Brush, false, func(k segment) {
		if f.add(k) {
			over = false
		}
		most = max(most, f.painted())
		switch {
		case over:
		case !f.loaded:
			over = true
			c.breaks(p.Moves[k.move].Line, "painted before the brush was loaded in its well")
		case f.load != nil && f.painted() > f.allowed()+coordTolerance:
			over = true
			since := "pause"
			if wells {
				since = "load"
			}
			c.breaks(p.Moves[k.move].Line, "more than %s since the last %s", f.text(f.allowed()), since)
		}
	})
	if c.kept = "loaded before it paints"; f.load != nil {
		c.kept = "at most " + f.text(most)
	}
	return c
}

// inked counts what is painted since the brush was loaded.
type inked struct {
	path   *Path
	lim    *Limits
	load   *Load // nil if only the loading counts
	brush  *Brush
	wells  bool    // the brush is loaded in a well, not at pauses
	loaded bool    // at least once
	stay   float64 // s of the wait so far
	ways   float64 // mm² or mm, without the ends of the stroke that is painted
	last   int     // move
	// begin and end are the widths (mm) of the marks at the two ends of the stroke;
	// moved reports that the brush has left the first.
	begin, end float64
	moved      bool
}

// painted is what is painted so far, with half a disc at each end of a stroke.
func (f *inked) painted() float64 {
	if !f.byArea() {
		return f.ways
	}
	return f.ways + float64(math.Pi/8*float64(float64(f.begin*f.begin)+float64(f.end*f.end)))
}

func (f *inked) byArea() bool { return f.load != nil && f.load.Area > 0 }

func (f *inked) allowed() float64 {
	if f.byArea() {
		return f.load.Area
	}
	return f.load.Length
}

func (f *inked) text(v float64) string {
	if f.byArea() {
		return fixed(v, 1) + " mm²"
	}
	return fixed(v, 1) + " mm"
}

// add counts a segment; loaded reports that the brush is loaded before it.
func (f *inked) add(k segment) (loaded bool) {
	for i := f.last; i < k.move; i++ {
		loaded = f.pass(i) || loaded
	}
	f.last = k.move
	if !f.byArea() {
		f.ways += k.length
		return loaded
	}
	from, to := f.brush.Width(-k.from.Z), f.brush.Width(-k.to.Z)
	if k.begins {
		f.ways, f.begin, f.end, f.moved = f.painted(), from, 0, false
	}
	f.moved = f.moved || k.length > 0
	if !f.moved {
		f.begin = max(f.begin, to)
	}
	if f.end = max(f.end, to); k.length > 0 { // while it lifts, the mark stays
		f.end = to
	}
	f.ways += float64(k.length * (from + to) / 2)
	return loaded
}

// pass counts a move between two strokes, and reports whether it loads the brush.
func (f *inked) pass(move int) bool {
	m := &f.path.Moves[move]
	if m.Kind == Dwell {
		f.stay += m.Seconds
	} else {
		f.stay = 0
	}
	switch {
	case f.wells && m.Kind == Dwell && m.Visit && f.lim.loadedBy(&asWritten(f.path).Moves[move], f.stay), !f.wells && m.Kind == Pause:
		f.ways, f.begin, f.end, f.loaded = 0, 0, 0, true
		return true
	case m.Visit && f.onScrap(m):
		f.scrap(m)
	}
	return false
}

// onScrap reports whether a move is on a scrap strip and in contact with it.
func (f *inked) onScrap(m *Move) bool {
	if m.Kind == Dwell || m.From.Z > 0 || m.To.Z > 0 {
		return false
	}
	for i := range f.lim.Stations {
		if s := &f.lim.Stations[i]; s.What == scrapStrip && s.holds(m) {
			return true
		}
	}
	return false
}

// scrap counts a mark on scrap, with half a disc at each of its ends.
func (f *inked) scrap(m *Move) {
	way := root(m.To.X-m.From.X, m.To.Y-m.From.Y)
	if !f.byArea() {
		f.ways += way
		return
	}
	from, to := f.brush.Width(-m.From.Z), f.brush.Width(-m.To.Z)
	f.ways += float64(way*(from+to)/2) + float64(math.Pi/8*float64(float64(from*from)+float64(to*to)))
}
