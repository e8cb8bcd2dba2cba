package seating

import (
	"fmt"
	"math"
)

// Fault is what is wrong with readings.
type Fault int8

// The faults.
const (
	Sound      Fault = iota
	Coinciding       // two marks at one place
	TooFew           // fewer marks than the growth needs
	InLine           // all marks in a line, where two growths are to be found
	Misread          // the readings fit if they are read in another way
	Misfit           // a mark is too far from where the others put it
	Unlikely         // they fit, but no sheet is turned or grown so far
)

// Verdict is what was found about readings.
type Verdict struct {
	Fault
	// What is a clause: how the readings were probably misread, or what is
	// unlikely.
	What string
	// Marks are those at fault: the two that coincide, the worst one.
	Marks []string
	// Worst is the largest error, Without the largest one without the worst mark;
	// negative where too few are left to tell.
	Worst, Without float64
	// Grown reports that even growth explains the misfit.
	Grown bool
}

const (
	// apart (mm) is how far marks must be from each other, and, for two growths,
	// how far the farthest from a line through them all.
	apart = 5.0
	// mostTurn (rad) and mostGrowth bound what is believed of a sheet that was put
	// back: 15°, and 2 %, more than twice what dipped paper grows (0.6 to 0.9 %, a
	// printmaker's note). Common practice, no source.
	mostTurn   = 15 * math.Pi / 180
	mostGrowth = 0.02
)

// Judge says whether readings can be fitted and believed. tipX, tipY is the
// brush's tip offset, which their places include: what was read is less by it.
func Judge(readings []Reading, growth Growth, misfit, tipX, tipY float64) Verdict {
	marks := marksOf(readings)
	for i, a := range marks {
		for _, b := range marks[:i] {
			if max(math.Abs(a.X-b.X), math.Abs(a.Y-b.Y)) < apart {
				return Verdict{Fault: Coinciding, Marks: []string{b.Mark, a.Mark}}
			}
		}
	}
	if len(marks) < growth.Needs() {
		return Verdict{Fault: TooFew}
	}
	if growth == Grain && inLine(marks) {
		return Verdict{Fault: InLine}
	}
	f := New(readings, growth)
	if f.believed(misfit) {
		return Verdict{}
	}
	for _, other := range misreadings(marks) {
		if again := New(other.apply(readings, tipX, tipY), growth); again.believed(misfit) {
			return Verdict{Fault: Misread, What: other.what, Marks: other.marks}
		}
	}
	worst := f.Worst()
	if worst.Size() <= misfit {
		return Verdict{Fault: Unlikely, What: f.unlikely()}
	}
	v := Verdict{Fault: Misfit, Marks: []string{worst.Mark}, Worst: worst.Size(), Without: -1}
	if growth == None && New(readings, Even).believed(misfit) {
		v.Grown = true
	}
	if len(marks) > max(growth.Needs(), 2) {
		v.Marks[0], v.Without = without(readings, marks, growth)
	}
	return v
}

// without leaves out each mark in turn. It returns the one without which the
// others agree best, and the largest error then.
func without(readings, marks []Reading, growth Growth) (mark string, largest float64) {
	largest = math.Inf(1)
	for _, m := range marks {
		var rest []Reading
		for _, r := range readings {
			if r.Mark != m.Mark {
				rest = append(rest, r)
			}
		}
		if growth == Grain && inLine(marksOf(rest)) {
			continue
		}
		if e := rounded(New(rest, growth).Worst().Size(), 6); e < largest {
			mark, largest = m.Mark, e
		}
	}
	if mark == "" {
		return New(readings, growth).Worst().Mark, -1
	}
	return mark, largest
}

// believed reports whether every mark lies near enough to its place, and the
// sheet is turned and grown no farther than sheets are.
func (f *Fit) believed(misfit float64) bool {
	return rounded(f.Worst().Size(), 6) <= misfit && f.unlikely() == ""
}

// unlikely says what is not believed; "" if all is.
func (f *Fit) unlikely() string {
	switch {
	case math.Abs(rounded(f.Turn, 9)) > mostTurn:
		return fmt.Sprintf("the sheet would be turned by %.1f°", f.Turn*180/math.Pi)
	case math.Abs(rounded(f.GrowthX, 9)-1) > mostGrowth || math.Abs(rounded(f.GrowthY, 9)-1) > mostGrowth:
		return "the sheet would be " + longer(f.GrowthX) + " along X and " + longer(f.GrowthY) + " along Y"
	}
	return ""
}

// longer says how much longer or shorter a sheet is.
func longer(growth float64) string {
	if growth < 1 {
		return fmt.Sprintf("%.1f %% shorter", 100*(1-growth))
	}
	return fmt.Sprintf("%.1f %% longer", 100*(growth-1))
}

// inLine reports whether all marks lie in a line.
func inLine(marks []Reading) bool {
	var far Reading
	most := 0.0
	a := marks[0]
	for _, m := range marks {
		if d := math.Abs(m.X-a.X) + math.Abs(m.Y-a.Y); d > most {
			far, most = m, d
		}
	}
	if most == 0 {
		return true
	}
	dx, dy := far.X-a.X, far.Y-a.Y
	length := math.Sqrt(float64(dx*dx) + float64(dy*dy))
	for _, m := range marks {
		if off := float64(dx*(m.Y-a.Y)) - float64(dy*(m.X-a.X)); math.Abs(off)/length >= apart {
			return false
		}
	}
	return true
}

// misreading is a way in which readings may have been misread or written down
// wrongly.
type misreading struct {
	what  string
	marks []string
	as    func(x, y float64) (float64, float64) // what was meant by a reading
	swap  [2]string                             // marks that were exchanged
}

// apply reads the readings as they were probably meant.
func (m misreading) apply(readings []Reading, tipX, tipY float64) []Reading {
	out := make([]Reading, len(readings))
	at := map[string]Reading{}
	for _, r := range readings {
		at[r.Mark] = r
	}
	for i, r := range readings {
		if m.as != nil {
			x, y := m.as(r.FoundX-tipX, r.FoundY-tipY)
			r.FoundX, r.FoundY = x+tipX, y+tipY
		}
		for k := range m.swap {
			if r.Mark == m.swap[k] && m.swap[0] != "" {
				other := at[m.swap[1-k]]
				r.Mark, r.X, r.Y = other.Mark, other.X, other.Y
				break
			}
		}
		out[i] = r
	}
	return out
}

// misreadings lists what is tried, the likeliest first.
func misreadings(marks []Reading) []misreading {
	scaled := func(by float64) func(x, y float64) (float64, float64) {
		return func(x, y float64) (float64, float64) { return float64(x * by), float64(y * by) }
	}
	out := []misreading{
		{what: "they are inches that were written as mm", as: scaled(25.4)},
		{what: "they are cm that were written as mm", as: scaled(10)},
		{what: "they are mm that were written as inches", as: scaled(1 / 25.4)},
		{what: "they are mm that were written as cm", as: scaled(0.1)},
		{what: "X has the wrong sign, as if its axis were reversed", as: func(x, y float64) (float64, float64) { return -x, y }},
		{what: "Y has the wrong sign, as if its axis were reversed", as: func(x, y float64) (float64, float64) { return x, -y }},
		{what: "X and Y are exchanged", as: func(x, y float64) (float64, float64) { return y, x }},
		{what: "X and Y both have the wrong sign", as: func(x, y float64) (float64, float64) { return -x, -y }},
	}
	for i := range marks {
		for k := range i {
			a, b := marks[k].Mark, marks[i].Mark
			out = append(out, misreading{what: fmt.Sprintf("the marks %q and %q are exchanged", a, b), marks: []string{a, b}, swap: [2]string{a, b}})
		}
	}
	return out
}
