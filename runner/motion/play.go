package motion

import (
	"math"

	"mahlstick/runner/lagcomp"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/vector"
)

const (
	// playTolerance (mm) is by how much the press may differ from the drawn one
	// because of play: smaller swells are left flat.
	playTolerance = 0.01
	// playWay (mm) is on how much way the play is taken up, where the press stays
	// within the tolerance for so long.
	playWay = 1.0
	// steepShare is the share of the brush's limit that is used. The rest allows
	// for the rounding of coordinates.
	steepShare = 0.97
)

// takeUp changes the presses of a path so that a brush with play (mm) paints
// what was drawn. A press that is reached from above acts as so much deeper than
// one that is reached from below; between the two, nothing changes on the
// paper. So while the stroke swells the machine presses as drawn, while it
// narrows it presses less by the play, and it takes the play up where the drawn
// press hardly changes. No press is deeper than drawn, and none is above the
// paper. limit is how many mm of press a mm of way the brush takes, 0 for any.
func takeUp(path []lagcomp.Step, play, limit float64) []lagcomp.Step {
	if !(play > 0) || len(path) < 2 {
		return path
	}
	t := newTaking(path, play)
	t.turns()
	t.ask()
	if limit > 0 {
		for i := len(t.out) - 2; i >= 0; i-- { // begin earlier where it would be too steep
			rise := float64(limit * float64(steepShare*axisDistance(t.out[i], t.out[i+1])))
			t.asked[i] = max(t.asked[i], min(t.asked[i+1]-rise, t.out[i].Mark.Press))
		}
	}
	for i, press := range t.asked {
		t.out[i].Mark.Press = press
	}
	return t.out
}

// taking is a path on which play is taken up. Positions on it are numbers of
// steps, with a share of the way to the next.
type taking struct {
	path    []lagcomp.Step
	play    float64
	way     []float64 // mm of the axis' way up to each step
	windows []window
	out     []lagcomp.Step
	asked   []float64 // the press that the machine is asked for at each step
}

// window is between which positions the play is taken up.
type window struct {
	from, to float64
	lifting  bool // afterwards
}

// newTaking adds a step wherever the drawn press is as deep as the play: lighter
// ones are asked for with no press while the brush is lifted.
func newTaking(path []lagcomp.Step, play float64) taking {
	all := taking{path: path}
	t := taking{play: play, path: []lagcomp.Step{path[0]}, way: []float64{0}}
	add := func(s lagcomp.Step) {
		n := len(t.path) - 1
		t.way = append(t.way, t.way[n]+axisDistance(t.path[n], s))
		t.path = append(t.path, s)
	}
	for i := 1; i < len(path); i++ {
		a, b := path[i-1].Mark.Press-play, path[i].Mark.Press-play
		if float64(a*b) < 0 {
			add(all.at(float64(i-1) + a/(a-b)))
		}
		add(path[i])
	}
	return t
}

func axisDistance(a, b lagcomp.Step) float64 { return plane.Distance(a.Axis, b.Axis) / plane.PerMM }

// turns finds the turning points, between which the press rises or falls by more
// than the tolerance, and where the play is taken up at each.
func (t *taking) turns() {
	lifting, extreme := false, 0
	for i := range t.path {
		ahead := t.path[i].Mark.Press - t.path[extreme].Mark.Press
		if lifting {
			ahead = -ahead
		}
		if ahead >= 0 {
			extreme = i
		} else if -ahead > playTolerance {
			lifting = !lifting
			t.windows = append(t.windows, t.window(extreme, lifting))
			extreme = i
		}
	}
}

// window is where the play is taken up at a turning point: at the end of the
// stretch on which the press is within the tolerance of it.
func (t *taking) window(turn int, lifting bool) window {
	level := t.path[turn].Mark.Press
	off := func(i int) float64 { return math.Abs(t.path[i].Mark.Press - level) }
	i := turn
	for off(i+1) <= playTolerance {
		i++
	}
	w := window{to: float64(i) + (playTolerance-off(i))/(off(i+1)-off(i)), lifting: lifting}
	first := 0.0
	if n := len(t.windows); n > 0 {
		first = t.windows[n-1].to
	}
	last := t.wayAt(w.to) - playWay
	w.from = float64(i)
	for i > 0 && off(i) <= playTolerance && t.way[i] > last {
		i--
		w.from = float64(i)
	}
	if off(i) > playTolerance {
		w.from = max(w.from, float64(i)+(off(i)-playTolerance)/(off(i)-off(i+1)))
	}
	if t.way[i] < last {
		w.from = max(w.from, float64(i)+(last-t.way[i])/(t.way[i+1]-t.way[i]))
	}
	w.from = max(w.from, first)
	return w
}

// wayAt is the way in mm up to a position.
func (t *taking) wayAt(position float64) float64 {
	i := min(int(position), len(t.path)-2)
	return vector.Lerp(t.way[i], t.way[i+1], position-float64(i))
}

// at is the step at a position.
func (t *taking) at(position float64) lagcomp.Step {
	i := min(int(position), len(t.path)-2)
	a, b, share := t.path[i], t.path[i+1], position-float64(i)
	return lagcomp.Step{
		Axis: plane.Point{X: plane.Lerp(a.Axis.X, b.Axis.X, share), Y: plane.Lerp(a.Axis.Y, b.Axis.Y, share)},
		Mark: stroke.Point{X: plane.Lerp(a.Mark.X, b.Mark.X, share), Y: plane.Lerp(a.Mark.Y, b.Mark.Y, share),
			Press: vector.Lerp(a.Mark.Press, b.Mark.Press, share), Width: vector.Lerp(a.Mark.Width, b.Mark.Width, share)},
		MarkRests: b.MarkRests,
	}
}

// ask finds the press that the machine is asked for at each step, with steps
// added at the ends of the windows.
func (t *taking) ask() {
	add := func(s lagcomp.Step, press float64) {
		t.out, t.asked = append(t.out, s), append(t.asked, press)
	}
	lifting, i := false, 0
	plain := func(s lagcomp.Step) float64 {
		if lifting {
			return max(s.Mark.Press-t.play, 0)
		}
		return s.Mark.Press
	}
	for _, w := range t.windows {
		for ; float64(i) < w.from; i++ {
			add(t.path[i], plain(t.path[i]))
		}
		from, to := t.at(w.from), t.at(w.to)
		start := plain(from)
		add(from, start)
		lifting = w.lifting
		end := plain(to)
		begin, length := t.wayAt(w.from), t.wayAt(w.to)-t.wayAt(w.from)
		for ; float64(i) <= w.to; i++ {
			if float64(i) > w.from && length > 0 {
				add(t.path[i], vector.Lerp(start, end, (t.way[i]-begin)/length))
			}
		}
		add(to, end)
	}
	for ; i < len(t.path); i++ {
		add(t.path[i], plain(t.path[i]))
	}
}
