package drawing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/vector"
)

// Bounds on what one file may ask for. They count work, so that every machine
// refuses the same files.
const (
	// MaxBytes is the size of the largest file that is read, compressed or
	// not.
	MaxBytes = 64 << 20

	maxPoints   = 8_000_000 // points of all flattened curves
	maxCorners  = 3_000_000 // vertices, knots and control points of one entity
	maxShapes   = 1_200_000 // outlines and loose lines
	maxLayers   = 10_000    // layers, and names that would be layers
	maxScanned  = 256 << 20 // bytes of block definitions read for their copies
	maxCopies   = 1_000_000 // copies of blocks
	maxDepth    = 32        // blocks inside blocks
	maxProblems = 100       // problems told of one file
	maxTallies  = 10_000    // kinds of things on layers that are counted apart
	maxLoose    = 10_000    // loose ends kept with their places
	reachMM     = 10_000    // mm from the origin
)

// reading is one drawing while it is being read, whatever its format.
type reading struct {
	file     *source.File
	opt      Options
	problems problem.List
	told     map[string]bool // warnings that were given once
	stopped  bool            // nothing more is to be read

	unit   unitFound
	scale  float64 // mm in one unit of the drawing
	sizing bool    // the unit is not known: only measure

	path   []XY       // the curve being flattened, in mm
	widths []float64  // its widths in mm, empty where it has none
	tilted bool       // some of it lies in a plane that is not the sheet's
	box    vector.Box // around the curve, once it was checked

	slab     []XY
	points   int
	scanned  int
	copies   int
	contours []Contour
	known    []known // what else is known of each contour
	pieces   []piece
	drawn    int32 // shapes so far
	groups   int   // groups of contours so far

	layers  []layer
	byName  map[string]int32 // by folded name
	counts  map[countKey]int // index in tally
	tally   []Count
	lastKey countKey
	lastAt  int
	bounds  vector.Box
}

// piece is a loose line: what a chain is made of.
type piece struct {
	pts     []XY
	at, end int32 // its place
	layer   int32
	drawn   int32 // its number in the order of drawing
}

// known is what is known of a contour beside what the drawing tells.
type known struct {
	drawn int32 // its number in the order of drawing
	box   vector.Box
}

type layer struct {
	name     string
	off      bool
	frozen   bool
	noPlot   bool
	declared source.Place
	why      string // why its entities are passed over, or ""
}

type countKey struct {
	what  string
	layer int32
	why   string
}

func newReading(f *source.File, opt Options) *reading {
	if opt.Gap == 0 {
		opt.Gap = 0.05
	}
	if opt.Tolerance == 0 {
		opt.Tolerance = 0.001
	}
	opt.Tolerance = min(opt.Tolerance, 0.005)
	outlines := min(len(f.Data)/800, 100_000) // about what drawings have
	return &reading{
		file: f, opt: opt,
		contours: make([]Contour, 0, outlines), known: make([]known, 0, outlines),
		told:   map[string]bool{},
		byName: map[string]int32{},
		counts: map[countKey]int{},
		scale:  1,
		bounds: vector.Empty(),
	}
}

func (r *reading) place(at, end int) source.Place { return r.file.Place(at, end) }

// report notes an error; after many it stops the reading.
func (r *reading) report(code problem.Code, at, end int, fix problem.Fix, format string, args ...any) {
	r.reportAt(code, r.place(at, end), fix, format, args...)
}

func (r *reading) reportAt(code problem.Code, at source.Place, fix problem.Fix, format string, args ...any) {
	if r.stopped {
		return
	}
	r.problems.Errorf(code, at, fix, format, args...)
	if len(r.problems) >= maxProblems {
		r.problems.Errorf(problem.TooManyProblems, at, problem.Advise("fix the first ones and read the drawing again"),
			"more than %d problems in this drawing: the rest of it was not read", maxProblems)
		r.stopped = true
	}
}

// stop notes an error after which nothing more can be read.
func (r *reading) stop(code problem.Code, at, end int, fix problem.Fix, format string, args ...any) {
	r.report(code, at, end, fix, format, args...)
	r.stopped = true
}

// warnOnce warns of the first of many like it: of the same code about the
// same thing.
func (r *reading) warnOnce(code problem.Code, about string, at, end int, fix problem.Fix, format string, args ...any) {
	if key := string(code) + " " + about; !r.told[key] && len(r.told) < maxProblems {
		r.told[key] = true
		r.problems.Warnf(code, r.place(at, end), fix, format, args...)
	}
}

// hint tells of the first of many like it.
func (r *reading) hint(code problem.Code, at, end int, fix problem.Fix, format string, args ...any) {
	if !r.told[string(code)] && len(r.told) < maxProblems {
		r.told[string(code)] = true
		r.problems.Add(problem.Problem{Severity: problem.Hint, Code: code, Place: r.place(at, end), Fix: fix, Message: fmt.Sprintf(format, args...)})
	}
}

// count notes that something was read (why is "") or passed over.
func (r *reading) count(what string, layer int32, why string, at, end int) {
	key := countKey{what, layer, why}
	if key != r.lastKey || len(r.tally) == 0 {
		i, ok := r.counts[key]
		if !ok && len(r.tally) >= maxTallies {
			key = countKey{"other things", -1, why}
			i, ok = r.counts[key]
		}
		if !ok {
			i = len(r.tally)
			r.counts[key] = i
			name := ""
			if key.layer >= 0 {
				name = r.layers[layer].name
			}
			r.tally = append(r.tally, Count{What: key.what, Layer: name, Why: why, First: r.place(at, end)})
		}
		r.lastKey, r.lastAt = key, i
	}
	r.tally[r.lastAt].N++
}

// begin starts a new curve.
func (r *reading) begin() {
	if cap(r.slab)-len(r.slab) < slabPoints/16 {
		r.slab = make([]XY, 0, slabPoints)
	}
	r.path, r.widths, r.tilted = r.slab[len(r.slab):len(r.slab)], r.widths[:0], false
}

// to adds a point (mm) to the curve.
func (r *reading) to(p XY) { r.path = append(r.path, p) }

// Points nearer to each other than this (mm) are one point. It is far below
// the grid on which the job is planned.
const samePoint = 1e-6

func same(p, q XY) bool {
	return math.Abs(p.X-q.X) < samePoint && math.Abs(p.Y-q.Y) < samePoint
}

// tidy drops repeated points of the curve, and the repeated start of a closed
// one.
func (r *reading) tidy(closed bool) {
	path := r.path
	n := 1
	if len(r.widths) > 0 {
		for i := 1; i < len(path); i++ {
			if same(path[n-1], path[i]) {
				r.widths[n-1] = r.widths[i]
				continue
			}
			path[n], r.widths[n] = path[i], r.widths[i]
			n++
		}
	} else {
		for n < len(path) && !same(path[n-1], path[n]) {
			n++
		}
		for i := n + 1; i < len(path); i++ {
			if !same(path[n-1], path[i]) {
				path[n] = path[i]
				n++
			}
		}
	}
	n = min(n, len(path))
	for closed && n > 1 && same(path[n-1], path[0]) {
		n--
	}
	r.path = path[:n]
	if len(r.widths) > 0 {
		r.widths = r.widths[:n]
	}
}

// keep takes the points of the path over, which from then on belong to the
// drawing.
func (r *reading) keep(points []XY) []XY {
	n := len(points)
	start := len(r.slab)
	// Paths are laid down at the end of the slab: nothing is copied unless
	// one outgrew it.
	if !(n <= cap(r.slab)-start && n > 0 && &r.slab[:start+1][start] == &points[0]) {
		if n > cap(r.slab)-start {
			r.slab, start = make([]XY, 0, max(n, slabPoints)), 0
		}
		copy(r.slab[start:start+n], points)
	}
	r.slab = r.slab[:start+n]
	return r.slab[start : start+n : start+n]
}

const slabPoints = 1 << 13

// within checks the curve's points against the reach and the budget.
func (r *reading) within(what string, at, end int) bool {
	limit := float64(reachMM)
	if r.sizing {
		limit = 1e15
	}
	if len(r.path) == 0 {
		return !r.stopped
	}
	lo, hi := r.path[0], r.path[0]
	odd := 0.0 // not a number as soon as a coordinate is none
	for _, p := range r.path {
		if p.X < lo.X {
			lo.X = p.X
		} else if p.X > hi.X {
			hi.X = p.X
		}
		if p.Y < lo.Y {
			lo.Y = p.Y
		} else if p.Y > hi.Y {
			hi.Y = p.Y
		}
		odd += (p.X - p.X) + (p.Y - p.Y)
	}
	if !(lo.X >= -limit && lo.Y >= -limit && hi.X <= limit && hi.Y <= limit && odd == 0) {
		for _, p := range r.path {
			if !(math.Abs(p.X) <= limit && math.Abs(p.Y) <= limit) {
				r.report(problem.BeyondReach, at, end,
					problem.Advise("move the drawing near its origin, or see whether its unit is right"),
					"this %s reaches (%s, %s) mm, more than 10 m from the origin", what, Short(p.X), Short(p.Y))
				return false
			}
		}
	}
	r.box = vector.Box{Min: lo, Max: hi}
	r.bounds = r.bounds.Union(r.box)
	r.points += len(r.path)
	return !r.overBudget(at, end)
}

func (r *reading) overBudget(at, end int) bool {
	switch {
	case r.points > maxPoints:
		r.stop(problem.TooLarge, at, end, problem.Advise("split the drawing, or simplify its curves"),
			"the drawing has more than %d points", maxPoints)
	case r.drawn > maxShapes:
		r.stop(problem.TooLarge, at, end, problem.Advise("split the drawing, or join its lines to polylines"),
			"the drawing has more than %d lines and outlines", maxShapes)
	}
	return r.stopped
}

// add ends the curve, takes it into the drawing and counts it. A rule puts
// it into the current group.
func (r *reading) add(what string, layer int32, closed bool, rule contour.FillRule, at, end int) {
	if r.take(what, layer, closed, rule, at, end) {
		r.count(what, layer, "", at, end)
	}
}

// take is add without counting what was taken.
func (r *reading) take(what string, layer int32, closed bool, rule contour.FillRule, at, end int) bool {
	if r.stopped || !r.within(what, at, end) {
		return false
	}
	if r.tilted {
		r.warnOnce(problem.TiltedPlane, "", at, end, problem.Advise("flatten the drawing onto the plane of the sheet if this is not meant"),
			"this %s lies in a tilted plane; it is read as seen from straight above", what)
	}
	if n := len(r.path); !closed && n > 3 && len(r.widths) == 0 && same(r.path[0], r.path[n-1]) {
		closed = true // it comes back to its start: an outline, whatever its flag says
	}
	r.tidy(closed)
	switch {
	case len(r.path) < 2:
		r.count(what, layer, "has no length", at, end)
		return false
	case closed && len(r.path) < 3 && len(r.widths) == 0:
		r.count(what, layer, "closed, but has no area", at, end)
		return false
	}
	r.drawn++
	if !closed && len(r.widths) == 0 {
		r.pieces = append(r.pieces, piece{r.keep(r.path), int32(at), int32(end), layer, r.drawn})
		return true
	}
	c := Contour{Identity: contour.Identity{Rule: rule, Place: r.place(at, end)}, Points: r.keep(r.path), Closed: closed, Layer: r.layers[layer].name}
	if rule != contour.Unstated {
		c.Group = r.groups
	}
	if len(r.widths) > 0 {
		c.Widths = slices.Clone(r.widths)
	}
	r.contours = append(r.contours, c)
	r.known = append(r.known, known{r.drawn, r.box})
	return true
}

// layerNumber finds a layer by name or makes it.
func (r *reading) layerNumber(name string) int32 {
	key := foldName(name)
	if n, ok := r.byName[key]; ok {
		return n
	}
	if len(r.layers) >= maxLayers {
		r.stop(problem.TooLarge, 0, 0, problem.Advise("draw on fewer layers"), "the drawing has more than %d layers", maxLayers)
		return 0
	}
	n := int32(len(r.layers))
	r.byName[key] = n
	r.layers = append(r.layers, layer{name: name})
	r.judge(n)
	return n
}

// judge works out whether a layer's entities are to be read.
func (r *reading) judge(n int32) {
	l := &r.layers[n]
	l.why = ""
	switch {
	case !r.chosen(l.name):
		l.why = NotAsked
	case l.frozen:
		l.why = "its layer is frozen"
	case l.off:
		l.why = "its layer is off"
	case l.noPlot:
		l.why = "its layer is not plotted"
	}
}

func (r *reading) chosen(name string) bool {
	if r.opt.Layer == "" {
		return true
	}
	key := foldName(name)
	if key == foldName(r.opt.Layer) {
		return true
	}
	return slices.ContainsFunc(r.opt.KeepLayers, func(k string) bool { return foldName(k) == key })
}

// checkLayer reports a chosen layer that is not there or cannot be read.
func (r *reading) checkLayer() {
	if r.opt.Layer == "" || r.stopped {
		return
	}
	names := make([]string, 0, len(r.layers))
	for _, l := range r.layers {
		if l.name != "" {
			names = append(names, l.name)
		}
	}
	sort.Strings(names)
	n, ok := r.byName[foldName(r.opt.Layer)]
	at := r.opt.LayerPlace
	if !at.Known() {
		at = r.place(0, 0)
	}
	if !ok {
		fix := problem.Advise("the drawing has no layers at all")
		if near, ok := problem.Nearest(r.opt.Layer, names); ok {
			fix = problem.Write(near)
		} else if len(names) > 0 {
			fix = problem.Advise("its layers are " + listNames(names, 12))
		}
		r.reportAt(problem.NoSuchLayer, at, fix, "the drawing %s has no layer %q", r.file.Name, r.opt.Layer)
		return
	}
	if l := r.layers[n]; l.why != "" {
		r.reportAt(problem.LayerHidden, at, problem.Advise("switch the layer on in the drawing, or choose another"),
			"nothing of layer %q can be painted: %s in %s", l.name, l.why, r.file.Name)
	}
}

// finish chains what is loose and makes the drawing.
func (r *reading) finish() *Drawing {
	d := &Drawing{
		File: r.file, UnitName: r.unit.name, UnitMM: r.unit.mm, UnitFrom: r.unit.from,
		gap: r.opt.Gap, unitInFile: r.unit.file,
	}
	for _, l := range r.layers {
		if l.name != "" {
			d.Layers = append(d.Layers, l.name)
		}
	}
	sort.Strings(d.Layers)
	if !r.stopped && !r.sizing {
		r.chain(d)
		d.Contours = r.contours
	}
	for _, c := range r.tally {
		if c.Why == "" {
			d.Read = append(d.Read, c)
		} else {
			d.Passed = append(d.Passed, c)
		}
	}
	slices.SortFunc(d.Read, orderCounts)
	slices.SortFunc(d.Passed, orderCounts)
	return d
}

func orderCounts(a, b Count) int {
	return cmp.Or(cmp.Compare(a.Layer, b.Layer), cmp.Compare(a.What, b.What), cmp.Compare(a.Why, b.Why))
}

// Short writes a length for a message: three decimals at most.
func Short(v float64) string {
	if math.Abs(v) >= 1e7 {
		return fmt.Sprintf("%.3g", v)
	}
	return format.Plain.Number(v, 3)
}
