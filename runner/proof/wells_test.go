package proof

import (
	"slices"
	"strings"
	"testing"
)

// wellProgram loads a brush in a well at X240 Y50, wipes it at X260, runs it in on a
// strip from X230 to X290, and paints two strokes of 40 mm, each with a fresh load.
const wellProgram = `(well in X228.00 to 252.00, Y38.00 to 62.00, Z-4.000 for 1.50 s)
(wipe in X240.00 to 260.00, Y50.00 to 50.00, Z0.500)
(scrap in X230.00 to 290.00, Y70.00 to 100.00, Z-2.000)
G21 G90 G94
G0 Z5
(first load)
G0 X240 Y50
G1 Z-4 F400
G4 P1.5
G1 Z0.5
G1 X260
G1 Z5
G0 X232 Y72
G1 Z-2
G1 X282 F600
G1 Z5 F400
G0 X20 Y20
G1 Z-2
G1 X60 F600
G1 Z5 F400
(second load)
G0 X240 Y50
G1 Z-4
G4 P1
G4 P0.5
G1 Z5
G0 X20 Y40
G1 Z-2
G1 X60 F600
G1 Z5 F400
G0 X0 Y0
M2
`

func wellLimits() Limits {
	l := goodLimits()
	l.Strokes = 2
	l.Stations = []Station{
		{"well", Rect{228, 38, 252, 62}, -4, 1.5},
		{"wipe", Rect{240, 50, 260, 50}, 0.5, 0},
		{"scrap", Rect{230, 70, 290, 100}, -2, 0},
	}
	return l
}

// What happens in wells and on scrap is no stroke and no mark, and is deeper than the
// brush may be pressed without breaking that rule.
func TestVisits(t *testing.T) {
	p, faults := Read("well.nc", []byte(wellProgram))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	lim := wellLimits()
	lim.SafePress = 3 // the well is deeper
	for _, load := range []*Load{nil, {Length: 91}, {Area: 113}} {
		lim.Load = load
		if got := failed(Check(p, lim)); len(got) > 0 {
			t.Errorf("load %+v: %q", load, got)
		}
	}
	m := Measure(Visiting(p, lim.Stations), Timing{}, lim.Brush)
	if len(m.Strokes) != 2 || m.Painted != 80 || m.Lowest != -2 || len(m.Visits) != 2 {
		t.Errorf("%d strokes, %g mm, lowest %g, %d visits", len(m.Strokes), m.Painted, m.Lowest, len(m.Visits))
	}
	// Lowered by 9 mm at 400 mm/min; the wait; up by 4.5 mm; across 20 mm; up by 4.5
	// mm; on the strip 7 mm down and up, and 50 mm at 600 mm/min.
	if got, want := m.Visits[0].Seconds, 1.5+(9+4.5+20+4.5+7+7)/400*60+5; got < want-1e-9 || got > want+1e-9 {
		t.Errorf("the first visit takes %g s, want %g s", got, want)
	}
	if got := StatedStations(p); !slices.Equal(got, lim.Stations) {
		t.Errorf("stated: %+v", got)
	}
	if n := len(Measure(p, Timing{}, nil).Strokes); n != 5 {
		t.Errorf("%d contacts where no well is known, want 5", n)
	}
}

// Each fault must be caught by the rule for it.
func TestPlantedInWells(t *testing.T) {
	for _, f := range []planted{
		{name: "a hundredth too deep", old: "Z-4 F400", new: "Z-4.01 F400", caught: Stations},
		{name: "ten times too deep", old: "Z-4 F400", new: "Z-40 F400", caught: WithinReach},
		{name: "beside the well", old: "X240 Y50\nG1 Z-4 F400", new: "X253 Y50\nG1 Z-4 F400", caught: Stations},
		{name: "into the well by a rapid", old: "G1 Z-4 F400", new: "G0 Z-4\nF400", caught: SlowDown},
		{name: "over the rim too low", old: "G1 Z0.5\n", new: "G1 Z0.4\n", caught: Stations},
		{name: "over the rim by a rapid", old: "G1 X260", new: "G0 X260", caught: LiftedTrip},
		{name: "past the place to wipe", old: "G1 X260", new: "G1 X260.01", caught: Stations},
		{name: "out of the well without a lift", old: "G1 X260\nG1 Z5\n", new: "", caught: LiftedTrip},
		{name: "pressed too deep on scrap", old: "G0 X232 Y72\nG1 Z-2", new: "G0 X232 Y72\nG1 Z-2.01", caught: Stations},
		{name: "off the strip", old: "G1 X282", new: "G1 X290.01", caught: Stations},
		{name: "lowered beside the sheet", old: "G0 X0 Y0", new: "G0 X230 Y0\nG1 Z1\nG1 Z5\nG0 X0 Y0", caught: Stations},
		{name: "stays too long", old: "G4 P1.5", new: "G4 P1.51", caught: Stations},
		{name: "stays too long in two waits", old: "G4 P0.5", new: "G4 P0.51", caught: Stations},
		{name: "stays on the strip", old: "G1 X282 F600", new: "G1 X282 F600\nG4 P1", caught: Stations},
		{name: "no time in the ink", old: "G4 P1.5\n", new: "", caught: LoadLasts},
		{name: "too short in the ink", old: "G4 P1.5", new: "G4 P1.4", caught: LoadLasts},
		{name: "not down to the ink", old: "Z-4 F400\nG4", new: "Z-3.9 F400\nG4", caught: LoadLasts},
		{name: "the second load is lost", old: "G0 X240 Y50\nG1 Z-4\nG4 P1\nG4 P0.5\nG1 Z5\n", new: "", caught: LoadLasts, limits: func(l *Limits) { l.Load = &Load{Length: 100} }},
		{name: "a pause in the place of the second load", old: "G0 X240 Y50\nG1 Z-4\nG4 P1\nG4 P0.5\nG1 Z5\n", new: "G0 X0 Y0\nM0\n", caught: LoadLasts, limits: func(l *Limits) { l.Load = &Load{Length: 100} }},
		{name: "a load that the strip takes", limits: func(l *Limits) { l.Load = &Load{Length: 89} }, caught: LoadLasts},
		{name: "a load that the strip takes by area", limits: func(l *Limits) { l.Load = &Load{Area: 108} }, caught: LoadLasts},
		{name: "a well elsewhere", limits: func(l *Limits) { l.Stations[0].Rect.MinX = 241 }, caught: Stations},
		{name: "no well at all", limits: func(l *Limits) { l.Stations = nil }, caught: StrokeCount},
	} {
		t.Run(f.name, func(t *testing.T) {
			text := strings.Replace(wellProgram, f.old, f.new, 1)
			if f.old != "" && text == wellProgram {
				t.Fatalf("%q is not in the program", f.old)
			}
			lim := wellLimits()
			if f.limits != nil {
				f.limits(&lim)
			}
			p, _ := Read("planted.nc", []byte(text))
			if names := failed(Check(p, lim)); !slices.Contains(names, f.caught) {
				t.Errorf("not caught by %q, only by %q", f.caught, names)
			}
		})
	}
}

// With a bed that is not flat, a strip follows the paper and a well does not.
func TestVisitsOnBed(t *testing.T) {
	b, err := NewBed([]Point{{0, 0, 0}, {210, 0, 1}, {0, 297, 0}}, Point{}, Rect{0, 0, 210, 297}, false)
	if err != nil {
		t.Fatal(err)
	}
	// Beside the sheet the paper is 1 mm higher, and on the strokes up to 0.286 mm.
	text := strings.NewReplacer("G1 Z-2\nG1 X282", "G1 Z-1\nG1 X282", "Z-2\nG1 X60", "Z-1.905\nG1 X60 Z-1.714", "Z5", "Z6", "X0 Y0\n", "X0 Y0\nG0 Z6\n").Replace(wellProgram)
	lim := wellLimits()
	lim.Bed, lim.Load = b, &Load{Length: 91}
	p, _ := Read("bed.nc", []byte(text))
	if got := failed(Check(p, lim)); len(got) > 0 {
		t.Errorf("%q", got)
	}
	p, _ = Read("bed.nc", []byte(strings.Replace(text, "G1 Z-1\n", "G1 Z-1.01\n", 1)))
	if got := failed(Check(p, lim)); !slices.Contains(got, Stations) {
		t.Errorf("too deep on the strip: %q", got)
	}
}
