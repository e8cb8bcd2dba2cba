package brush

import (
	"errors"
	"fmt"
)

// Trail is one measured lag: the press (mm below the first touch), and how far the
// mark was behind the brush's axis (mm).
type Trail struct{ Press, Lag float64 }

// Lag is how far the mark trails behind the brush's axis, by press. The zero Lag
// is 0 at every press.
//
// It is linear between readings, starts from 0 at press 0, because a tip that
// barely touches does not bend, and is constant beyond the deepest reading.
type Lag struct{ trails []Trail }

// ConstantLag is the lag of a brush of which only one distance (mm) is known: the
// same at every press.
func ConstantLag(distance float64) Lag {
	if !(distance > 0) {
		return Lag{}
	}
	return Lag{trails: []Trail{{Press: 0, Lag: distance}}}
}

// NewLag is the lag measured at several presses (mm). It returns an error if the
// presses do not increase, or a value is not from 0 to 1000 mm.
func NewLag(readings []Trail) (Lag, error) {
	var l Lag
	lags := false
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
		lags = lags || r.Lag > 0
	}
	if !lags {
		return Lag{}, nil
	}
	return l, nil
}

// Known reports whether the brush lags at all.
func (l Lag) Known() bool { return len(l.trails) > 0 }

// Trails lists the readings by rising press, after a lag of 0 at press 0. The lag
// is linear between two of them and constant beyond the last.
func (l Lag) Trails() []Trail { return append([]Trail(nil), l.trails...) }

// Max is the longest lag, in mm.
func (l Lag) Max() float64 {
	most := 0.0
	for _, t := range l.trails {
		most = max(most, t.Lag)
	}
	return most
}

// At is the lag (mm) at a press (mm).
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
