package brush

import (
	"errors"
	"fmt"
)

// Trail is one measured trailing distance: how far pressed (mm below the first
// touch), and how far the mark lay behind the brush's axis (mm).
type Trail struct{ Press, Lag float64 }

// Lag is how far the mark trails behind the brush's axis for a press. The zero
// Lag trails nowhere.
//
// It runs in straight lines from reading to reading, from nothing at press 0,
// as a tip that barely touches does not bend, and is level beyond the deepest
// reading.
type Lag struct{ trails []Trail }

// EvenLag is the lag of a brush of which one trailing distance (mm) is known,
// whatever the press.
func EvenLag(distance float64) Lag {
	if !(distance > 0) {
		return Lag{}
	}
	return Lag{trails: []Trail{{Press: 0, Lag: distance}}}
}

// NewLag is the lag measured at several presses (mm). It returns an error where
// the presses do not increase or a value is not from 0 to 1000 mm.
func NewLag(readings []Trail) (Lag, error) {
	var l Lag
	any := false
	for i, r := range readings {
		switch {
		case !(r.Press >= 0 && r.Press <= largest && r.Lag >= 0 && r.Lag <= largest):
			return Lag{}, fmt.Errorf("reading %d is not a press and a lag from 0 to %g mm", i+1, largest)
		case i > 0 && r.Press <= readings[i-1].Press:
			return Lag{}, errors.New("the presses of a lag must increase")
		}
		if i == 0 && r.Press > 0 {
			l.trails = append(l.trails, Trail{})
		}
		l.trails = append(l.trails, r)
		any = any || r.Lag > 0
	}
	if !any {
		return Lag{}, nil
	}
	return l, nil
}

// Known reports whether the brush trails at all.
func (l Lag) Known() bool { return len(l.trails) > 0 }

// Trails are the readings by rising press, with nothing at press 0 before
// them. The lag is even between two of them and level beyond the last.
func (l Lag) Trails() []Trail { return append([]Trail(nil), l.trails...) }

// Most is the longest trailing distance, in mm.
func (l Lag) Most() float64 {
	most := 0.0
	for _, t := range l.trails {
		most = max(most, t.Lag)
	}
	return most
}

// At is the trailing distance (mm) at a press (mm).
func (l Lag) At(press float64) float64 {
	for i, t := range l.trails {
		if press < t.Press {
			if i == 0 {
				return 0
			}
			a := l.trails[i-1]
			return a.Lag + float64((t.Lag-a.Lag)*(press-a.Press))/(t.Press-a.Press)
		}
	}
	if len(l.trails) == 0 {
		return 0
	}
	return l.trails[len(l.trails)-1].Lag
}
