package proof

import "math"

// loadLasts requires that from one pause to the next no more is painted than one
// load of ink paints. What is gone over twice counts twice.
func loadLasts(p *Path, lim *Limits) *verdict {
	if lim.Load == nil {
		return nil
	}
	f := inked{path: p, load: lim.Load, brush: lim.Brush}
	c := &verdict{name: LoadLasts, allowed: f.text(f.allowed()) + " from pause to pause",
		why: "a brush that runs dry leaves pale strokes with gaps, which show when they are painted over"}
	most, over := 0.0, false
	p.marks(lim.Brush, false, func(k segment) {
		if f.add(k) {
			over = false
		}
		most = max(most, f.painted())
		if !over && f.painted() > f.allowed()+coordTolerance {
			over = true
			c.breaks(p.Moves[k.move].Line, "more than %s since the last pause", f.text(f.allowed()))
		}
	})
	c.kept = "at most " + f.text(most)
	return c
}

// inked counts what is painted since the last pause.
type inked struct {
	path  *Path
	load  *Load
	brush *Brush
	ways  float64 // mm² or mm, without the ends of the stroke that is painted
	last  int     // move
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

func (f *inked) byArea() bool { return f.load.Area > 0 }

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

// add counts a segment; paused reports that the program pauses before it.
func (f *inked) add(k segment) (paused bool) {
	for i := f.last; i < k.move; i++ {
		paused = paused || f.path.Moves[i].Kind == Pause
	}
	if paused {
		f.ways, f.begin, f.end = 0, 0, 0
	}
	f.last = k.move
	if !f.byArea() {
		f.ways += k.length
		return paused
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
	return paused
}
