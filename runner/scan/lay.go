package scan

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"mahlstick/runner/scan/align"
	"mahlstick/runner/scan/edge"
	"mahlstick/runner/scan/paper"
	"mahlstick/runner/scan/raster"
	"mahlstick/runner/vector"
)

// Refusal is why a scan cannot be read.
type Refusal struct {
	Why Why
	// What is wrong, and what to do about it.
	Text, Fix string
}

func (r *Refusal) Error() string { return r.Text }

// Why is a reason to refuse a scan.
type Why int8

// The reasons, a closed list.
const (
	TooDark   Why = iota // no paper can be told from ink
	Blank                // nothing is on it
	Foreign              // what is on it is not of this job
	Mirrored             // it shows the sheet as in a mirror
	Slanted              // it is a photograph at a slant
	CutOff               // much of what is painted is beyond its edge
	TooCoarse            // its pixels are too large to measure marks
	Ambiguous            // it fits in more than one way
	Unfilled             // the job paints nothing that can be found
)

// Bounds of what is accepted. Common practice, no source.
const (
	leastPerMM   = 5.9  // pixels a mm: 150 dpi
	leastHit     = 0.5  // of the lines of the job have ink on them
	leastAlike   = 0.25 // of the ink of scan and job is common
	surelyAlike  = 0.5
	clearly      = 0.04 // by which the best of several ways must be better than the next
	mostAlike    = 6    // ways that are nearly as good as the best are looked at closely
	scatterApart = 0.02 // mm, by which marks lie farther beside their places in a wrong way, besides twice as far
	mostScatter  = 0.4  // mm
	leastInView  = 0.7  // of what is painted
	// leastForSlant is how many strokes have to be seen so that their places can look like
	// a photograph at a slant: of few, one that is smeared looks like it.
	leastForSlant = 6
	statedFrom    = 90 // pixels an inch: what programs write that do not know the resolution is less
)

// Lay lays a scan on a sheet of a job. The error is a *Refusal. Progress is called with
// what is being done; it may be nil.
func Lay(m *raster.Image, job *Job, progress func(string)) (*Sheet, error) {
	if progress == nil {
		progress = func(string) {}
	}
	if len(job.Strokes) == 0 {
		return nil, &Refusal{Unfilled, "the job paints nothing that a scan could show", "read the scan of a job with layers or trials"}
	}
	progress("paper")
	view, err := paper.Survey(m)
	switch {
	case errors.Is(err, paper.ErrDark):
		return nil, &Refusal{TooDark, "the scan is too dark: its paper reflects less than a tenth of white", "scan again with automatic corrections off, or with more exposure"}
	case err != nil:
		return nil, errBlank
	}
	progress("finding the sheet")
	ways, err := find(m, view, job)
	if err != nil {
		return nil, err
	}
	progress("edges")
	s, err := choose(m, view, job, ways)
	var slant *Refusal
	if err != nil && len(ways) > 0 && !ways[0].Mirrored && errors.As(laid(m, view, job, ways[0]).refine(), &slant) && slant.Why == Slanted {
		return nil, slant // a part of a slanted sheet fits several ways a little
	}
	return s, err
}

var errBlank = &Refusal{Blank, "nothing is on the scan but paper", "lay the painted side down, and scan again"}

// way is a way in which a scan may lie on one of the sheets.
type way struct {
	align.Found
	sheet int
}

// find finds the ways in which the scan may lie on one of the sheets, the best first.
func find(m *raster.Image, view *paper.View, job *Job) ([]way, error) {
	pic := align.Picture{Width: view.Width, Height: view.Height, Ink: make([]bool, len(view.Dark))}
	for i, d := range view.Dark {
		pic.Ink[i] = d > view.Least
	}
	var ways []way
	blank := false
	try := func() {
		for sheet := 1; sheet <= job.Sheets; sheet++ {
			var found []align.Found
			found, blank = align.Find(pic, job.paths(sheet), job.Width, job.Height)
			for _, f := range found {
				ways = append(ways, way{f, sheet})
			}
		}
		slices.SortStableFunc(ways, func(a, b way) int { return compare(b.Alike, a.Alike) })
	}
	if dpi := (m.DPIX + m.DPIY) / 2; dpi >= statedFrom && math.Abs(m.DPIX-m.DPIY) < 0.02*dpi {
		pic.PerMM = dpi / 25.4 / float64(view.Step)
		try()
	}
	if len(ways) == 0 || ways[0].Alike < surelyAlike { // it states nothing, or perhaps something wrong
		pic.PerMM = 0
		try()
	}
	if blank {
		return nil, errBlank
	}
	return ways, nil
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// same reports whether two ways lay the sheet alike.
func (w *way) same(o way, job *Job) bool {
	return w.sheet == o.sheet && align.Near(w.Map, o.Map, job.Width, job.Height)
}

// fits reports whether a way is good enough to be looked at.
func (w *way) fits() bool { return w.Hit >= leastHit && w.Alike >= leastAlike }

// choose lays the scan in the best way. Ways that are nearly as good are distinguished from it by
// how far the marks lie beside their places, to a part of a pixel.
func choose(m *raster.Image, view *paper.View, job *Job, ways []way) (*Sheet, error) {
	if len(ways) == 0 || !ways[0].fits() {
		return nil, &Refusal{Foreign, "the scan does not show a sheet of this job: what is painted on it lies elsewhere",
			"check that the recipe is the one of this sheet, and that the picture is a flat scan of all of it: a photograph at a slant is not read"}
	}
	best := ways[0]
	alike := []way{best}
	for _, w := range ways[1:] {
		if w.fits() && best.Alike-w.Alike < clearly && !w.same(best, job) && len(alike) < mostAlike {
			alike = append(alike, w)
		}
	}
	if len(alike) > 1 {
		return closest(m, view, job, alike)
	}
	if best.Mirrored {
		return nil, errMirrored
	}
	return best.lay(m, view, job)
}

// closest is the one of several ways in which the marks lie clearly closer to their places
// than in all others.
func closest(m *raster.Image, view *paper.View, job *Job, ways []way) (*Sheet, error) {
	var out *Sheet
	var first error
	at, second := 0, 0
	least, next := math.Inf(1), math.Inf(1)
	for i, w := range ways {
		s, err := w.lay(m, view, job)
		scatter := mostScatter
		if err == nil {
			scatter = s.Scatter
		} else if first == nil {
			first = err
		}
		switch {
		case scatter < least:
			least, next, at, second, out = scatter, least, i, at, s
		case scatter < next:
			next, second = scatter, i
		}
	}
	switch {
	case out == nil:
		return nil, first
	case next < 2*least+scatterApart:
		return nil, ambiguous(ways[at], ways[second])
	case ways[at].Mirrored:
		return nil, errMirrored
	}
	return out, nil
}

var errMirrored = &Refusal{Mirrored, "the scan is mirrored: it fits the sheet only as in a mirror", "scan again without mirroring, the painted side down"}

// lay lays the sheet in a way that the overview shows, and fits it to the edges of its marks.
func (w *way) lay(m *raster.Image, view *paper.View, job *Job) (*Sheet, error) {
	if w.InView < leastInView {
		return nil, cutOff(w.InView)
	}
	s := laid(m, view, job, *w)
	if per := 1 / s.Pixel(); per < leastPerMM {
		return nil, &Refusal{TooCoarse, fmt.Sprintf("the scan has %.0f pixels an inch; marks are measured with 150 or more", per*25.4), "scan again with 300 dpi or more; 600 is best"}
	}
	if err := s.refine(); err != nil {
		return nil, err
	}
	return s, nil
}

// laid is the sheet as a way lays it.
func laid(m *raster.Image, view *paper.View, job *Job, w way) *Sheet {
	k := float64(view.Step)
	return &Sheet{Job: job, Number: w.sheet, image: m, view: view, Alike: w.Alike,
		Map: align.Map{XX: w.Map.XX * k, XY: w.Map.XY * k, X0: w.Map.X0 * k, YX: w.Map.YX * k, YY: w.Map.YY * k, Y0: w.Map.Y0 * k}}
}

// ambiguous is the refusal of a scan that fits in two ways.
func ambiguous(a, b way) error {
	what := "the scan fits the job in more than one way up"
	if a.Mirrored != b.Mirrored {
		what = "the scan fits the job as it is and as in a mirror"
	}
	if a.sheet != b.sheet {
		what = fmt.Sprintf("the scan fits sheet %d and sheet %d of the job", min(a.sheet, b.sheet), max(a.sheet, b.sheet))
	}
	return &Refusal{Ambiguous, what, "scan all of the sheet on a flatbed scanner: a photograph at a slant fits several ways a little; if this is a flat scan, let a layer paint register marks next time, or add a trial"}
}

func cutOff(inView float64) error {
	return &Refusal{CutOff, fmt.Sprintf("%.0f %% of what is painted lies beyond the edge of the scan", 100*(1-inView)), "scan the whole sheet, or at least all that is painted on it"}
}

// paths are the strokes of a sheet.
func (j *Job) paths(sheet int) (out []align.Path) {
	for _, s := range j.Strokes {
		if s.Sheet == sheet && len(s.Points) > 0 {
			out = append(out, s.Path)
		}
	}
	return out
}

// Pixel is the size of a pixel of the scan in mm.
func (s *Sheet) Pixel() float64 {
	m := s.Map
	return 1 / math.Sqrt(math.Abs(float64(m.XX*m.YY)-float64(m.XY*m.YX)))
}

// relative is the light of a place in parts of the light of paper.
func (s *Sheet) relative(p vector.XY) ([3]float32, bool) {
	at := s.Map.Pixel(p)
	v, ok := s.image.At(at.X, at.Y)
	if !ok {
		return v, false
	}
	for c, tone := range s.view.Tone(at.X, at.Y) {
		if tone > 0 {
			v[c] /= tone
		}
	}
	return v, true
}

// refine fits the map to the edges of the marks, and finds the blur of the scan and the
// light of each program's ink.
func (s *Sheet) refine() error {
	s.near = newNeighbours(s.Job, s.Number)
	s.Shifts = map[int]Shift{}
	for round := range 3 {
		offsets, strokes, inView := s.offsets(round)
		if inView < leastInView {
			return cutOff(inView)
		}
		if len(offsets) < 4 {
			return &Refusal{Foreign, "too few marks of the job are sharp enough on the scan to lay it on the sheet", "check that the recipe is the one of this sheet, and that the scan is sharp"}
		}
		f, ok := align.Improve(s.Map, offsets)
		if !ok {
			return &Refusal{Foreign, "the marks on the scan do not say where the sheet lies", "scan more of the sheet"}
		}
		if strokes >= leastForSlant && f.Slant > 0.3 && f.Slant > 6*f.SlantU && f.Slant > 3*f.Scatter {
			return &Refusal{Slanted, fmt.Sprintf("this looks like a photograph at a slant: corners of what is painted lie up to %.1f mm from where a flat scan has them", f.Slant), "lay the sheet on a flatbed scanner; a photograph is too inexact, even from straight above"}
		}
		if f.Scatter > mostScatter || f.Used < 0.5 {
			return &Refusal{Foreign, fmt.Sprintf("the marks on the scan lie %.2f mm beside those of the job in the median: this is another sheet, or it was painted by another run", f.Scatter), "check that the recipe is the one of this sheet and was not changed after painting"}
		}
		s.Map, s.Scatter, s.ScaleU = f.Map, f.Scatter, f.ScaleU
		for p, d := range f.Shifts {
			s.Shifts[p] = Shift(d)
		}
	}
	return nil
}

// moved is where a place of a program is to be expected.
func (s *Sheet) moved(p vector.XY, program int) vector.XY {
	d := s.Shifts[program]
	return p.Plus(vector.XY{X: d.X, Y: d.Y})
}

// stations of a fit.
const (
	mostStations = 1200
	stationStep  = 4.0 // mm, at least
)

// offsets measures where the marks lie, and of how many strokes; inView is the share of the stations that lie on the
// scan. In the first round marks may lie further from their places.
func (s *Sheet) offsets(round int) (out []align.Offset, strokes int, inView float64) {
	search := [...]float64{1.2, 0.6, 0.4}[round]
	total := 0.0
	for _, p := range s.Job.paths(s.Number) {
		total += p.Length()
	}
	step := max(stationStep, total/mostStations)
	all, seen := 0, 0
	var softs []float64
	cores := map[int][][3]float32{}
	for i := range s.Job.Strokes {
		k := &s.Job.Strokes[i]
		if k.Sheet != s.Number {
			continue
		}
		before := len(out)
		for _, st := range k.stations(step) {
			all++
			at := s.Map.Pixel(st.at)
			if at.X < 0 || at.Y < 0 || at.X > float64(s.image.Width) || at.Y > float64(s.image.Height) {
				continue
			}
			seen++
			m := s.measure(i, st, search)
			if m.Why != edge.None {
				continue
			}
			if m.Width() > 8*s.Pixel() {
				softs = append(softs, m.Soft)
				cores[k.Program] = append(cores[k.Program], m.Core)
			}
			out = append(out, align.Offset{At: st.at, Along: st.across, By: m.Middle() + s.shiftAlong(k.Program, st.across), U: math.Hypot(m.MiddleU, 0.02), Program: k.Program})
		}
		if o, ok := s.ends(i); ok {
			out = append(out, o)
		}
		if len(out) > before {
			strokes++
		}
	}
	s.learn(softs, cores)
	return out, strokes, float64(seen) / float64(max(1, all))
}

// shiftAlong is by how much the place where a mark was measured was moved with its
// program.
func (s *Sheet) shiftAlong(program int, across vector.XY) float64 {
	d := s.Shifts[program]
	return float64(across.X*d.X) + float64(across.Y*d.Y)
}

// learn keeps the blur of the scan, and the light of the inks. A quarter to three
// quarters of a blurred edge take 1.349 standard deviations of the blur.
func (s *Sheet) learn(softs []float64, cores map[int][][3]float32) {
	if len(softs) > 0 {
		slices.Sort(softs)
		s.Blur = softs[len(softs)/4] / 1.349
	}
	s.cores = map[int][3]float32{}
	for program, list := range cores {
		var median [3]float32
		for c := range median {
			slices.SortFunc(list, func(a, b [3]float32) int { return compare(float64(a[c]), float64(b[c])) })
			median[c] = list[len(list)/2][c]
		}
		s.cores[program] = median
	}
}
