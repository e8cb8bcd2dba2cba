package runner_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"mahlstick/runner"
	"mahlstick/runner/part"
	"mahlstick/runner/proof"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// joint is a stroke of a layer that was interrupted and resumed, on the sheet or,
// for programs read from their text, on the bed; mm.
type joint struct {
	whole   contact // the stroke in the program of the layer
	resumed contact // in the resumed one
	path    contact // the way of its mark as planned, from its drawn start
	share   float64 // of that way that was painted before
}

// painted is what was painted before the program stopped.
func (j joint) painted() contact { c, _ := j.path.cut(j.share * j.path.length()); return c }

// cut parts a contact at a distance from its start.
func (c contact) cut(at float64) (before, after contact) {
	before = contact{c[0]}
	for i := 1; i < len(c); i++ {
		d := c[i-1].distance(c[i].place)
		if at < d {
			t := at / d
			k := dab{c[i-1].towards(c[i].place, t), c[i-1].r + t*(c[i].r-c[i-1].r)}
			return append(before, k), append(contact{k}, c[i:]...)
		}
		at -= d
		before = append(before, c[i])
	}
	return before, contact{c[len(c)-1]}
}

// edge are places on the edge of a contact: on both sides of its way, and round
// its ends and corners.
func (c contact) edge(step float64) []place {
	var out []place
	add := func(k dab, dx, dy float64) {
		for i := range 12 {
			a := float64(i) * math.Pi / 6
			s, cos := math.Sincos(a)
			out = append(out, place{k.x + k.r*(dx*cos-dy*s), k.y + k.r*(dx*s+dy*cos)})
		}
	}
	for i := range c {
		a, b := c[max(i-1, 0)], c[i]
		d := a.distance(b.place)
		dx, dy := 1.0, 0.0
		if d > 0 {
			dx, dy = (b.x-a.x)/d, (b.y-a.y)/d
		}
		for k := 1.0; k <= math.Max(1, math.Ceil(d/step)); k++ {
			t := k / math.Max(1, math.Ceil(d/step))
			add(dab{a.towards(b.place, t), a.r + t*(b.r-a.r)}, dx, dy)
		}
	}
	return out
}

// check wants that what was painted before and the resumed stroke are together
// the stroke, and lap by at most one width of the mark.
func (j joint) check(t *testing.T, what string) {
	t.Helper()
	union := []contact{j.painted(), j.resumed}
	bare, spilt := 0.0, 0.0
	for _, p := range j.whole.edge(0.4) {
		if offAll([]contact{j.whole}, p) > -0.001 {
			bare = max(bare, offAll(union, p))
		}
	}
	for _, p := range j.resumed.edge(0.4) {
		spilt = max(spilt, offAll([]contact{j.whole}, p))
	}
	length := j.path.length()
	_, rest := j.path.cut(j.share * length)
	_, lapped := j.path.cut(j.share*length - 2*rest[0].r)
	if j.share*length < 2*rest[0].r {
		lapped = j.path
	}
	lap := 0.0 // how far it reaches outside the rest and one width before that
	for _, p := range j.resumed.edge(0.4) {
		lap = max(lap, offAll([]contact{lapped}, p))
	}
	if bare > 0.05 || spilt > 0.05 || lap > 0.05 {
		t.Errorf("%s: %.3f mm bare, %.3f mm outside, %.3f mm before the lap", what, bare, spilt, lap)
	}
}

// ofMarks is a contact of marks as the proof reads them, on the sheet.
func ofMarks(marks []proof.Mark) (c contact) {
	for _, m := range marks {
		c = append(c, dab{place{m.X, m.Y}, m.Width / 2})
	}
	return c
}

func ofGesture(g stroke.Gesture) (c contact) {
	for _, p := range g.Points {
		x, y := p.Plane().MM()
		c = append(c, dab{place{x, y}, p.Width / 2})
	}
	return c
}

// widths are contacts of a program with the brush's marks: contactsOf has the press
// as the radius.
func widths(t *testing.T, l stage.Proven, program []byte) []contact {
	t.Helper()
	contacts, err := contactsOf(program)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range contacts {
		for i := range c {
			w, err := l.Model.Brush.Curve.WidthAt(c[i].r)
			if err != nil {
				t.Fatal(err)
			}
			c[i].r = w / 2
		}
	}
	return contacts
}

func resume(t *testing.T, r *runner.Result, l stage.Proven, p part.Part) *runner.Resumed {
	t.Helper()
	resumed, err := runner.Resume(r, l.Model.Name, p)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range resumed.Outcomes {
		if !o.OK {
			t.Errorf("%s: %s: found %s, allowed %s", resumed.File, o.Name, o.Found, o.Allowed)
		}
	}
	return resumed
}

// From every stroke of the demo on, once as a whole and once from a random place:
// the strokes after it are those of the layer's program, number for number, as
// read from the text alone, and the interrupted one is made whole.
func TestResumeEveryStroke(t *testing.T) {
	r := runDemo(t)
	random := rand.New(rand.NewPCG(1, 2))
	n := 0
	for _, l := range r.Layers {
		whole := widths(t, l, l.Program)
		for k := 1; k <= len(whole); k++ {
			if testing.Short() && random.IntN(20) > 0 {
				continue
			}
			to := len(whole)
			if k%8 > 0 { // reading all back each time takes long
				to = min(to, k+2)
			}
			checkResumed(t, r, l, whole, part.Part{From: k, To: to})
			checkResumed(t, r, l, whole, part.Part{From: k, To: to, At: 1 + random.IntN(998)})
			n += 2
		}
	}
	t.Logf("%d resumed programs", n)
}

// checkResumed resumes a layer whose program paints the given contacts.
func checkResumed(t *testing.T, r *runner.Result, l stage.Proven, whole []contact, p part.Part) {
	t.Helper()
	resumed := resume(t, r, l, p)
	got := widths(t, l, resumed.Program)
	if len(got) != p.To-p.From+1 {
		t.Fatalf("%s: %d strokes, want %d", resumed.File, len(got), p.To-p.From+1)
	}
	for i := range got {
		if (i > 0 || p.At == 0) && !slices.Equal(got[i], whole[p.From-1+i]) {
			t.Fatalf("%s: stroke %d is not that of the layer", resumed.File, p.From+i)
		}
	}
	if p.At > 0 {
		joint{whole[p.From-1], got[0], whole[p.From-1], float64(p.At) / 1000}.check(t, resumed.File)
	}
}

// Random jobs with all kinds of entries, with a limit of the press and a mark
// that trails.
func TestResumeRandomJobs(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	n := 0
	for number := 1; number <= 4; number++ {
		for _, kind := range []string{"as drawn", "longer", "concealed"} {
			for _, c := range []struct{ limit, lag float64 }{{0, 0}, {0.8, 0}, {0, 1.2}} {
				r, problems, err := runner.Run(scribbled(t, number, kind, c.limit, c.lag), runner.Options{})
				if err != nil {
					t.Fatal(err)
				}
				if problems.HasErrors() { // a mark that trails may lead out of the reach
					continue
				}
				what := fmt.Sprintf("job %d, %s, limit %g, ", number, kind, c.limit)
				for _, l := range r.Layers {
					for range 6 {
						n++
						checkRandom(t, r, l, random, what, kind == "longer" || c.limit > 0)
					}
				}
			}
		}
	}
	t.Logf("%d resumed programs", n)
}

// checkRandom resumes a layer at a random place. Where strokes may be lighter than
// drawn, only what is painted outside them counts.
func checkRandom(t *testing.T, r *runner.Result, l stage.Proven, random *rand.Rand, what string, lighter bool) {
	t.Helper()
	p := part.Part{From: 1 + random.IntN(len(l.Gestures)), At: random.IntN(1000)}
	p.To = p.From + random.IntN(len(l.Gestures)-p.From+1)
	resumed := resume(t, r, l, p)
	if p.At == 0 || l.Model.Brush.Lag.Known() {
		return
	}
	path := ofGesture(l.Gestures[p.From-1])
	j := joint{ofMarks(l.Marks[p.From-1]), ofMarks(resumed.Marks[0]), path, float64(p.At) / 1000}
	if lighter {
		j.whole = path
		j.checkSpilt(t, what+resumed.File)
		return
	}
	j.check(t, what+resumed.File)
}

// checkSpilt is check for strokes whose press is held back in places.
func (j joint) checkSpilt(t *testing.T, what string) {
	t.Helper()
	for _, p := range j.resumed.edge(0.4) {
		if off := offAll([]contact{j.whole}, p); off > 0.05 {
			t.Errorf("%s: %.3f mm outside", what, off)
			return
		}
	}
}
