package along

import "testing"

// Of the ink near a stroke that was left out, the pale end of a smear is not the stroke.
func TestChoose(t *testing.T) {
	for name, c := range map[string]struct {
		runs  []run
		found bool
	}{
		"in its place":            {[]run{{-0.15, 0.16, 1, 0.3}}, true},
		"pale, in its place":      {[]run{{-0.15, 0.16, 0.3, 0.1}}, true},
		"beside, as when it lags": {[]run{{0.6, 0.9, 0.9, 0.28}}, true},
		"pale and near":           {[]run{{0.3, 0.6, 0.3, 0.1}}, true},
		"the end of a smear":      {[]run{{0.7, 0.9, 0.3, 0.04}}, false},
		"on the other side":       {[]run{{-0.9, -0.7, 0.3, 0.04}}, false},
		"a speck":                 {[]run{{-0.01, 0.01, 1, 0.02}}, false},
		"nothing":                 {nil, false},
	} {
		if _, _, found := choose(c.runs, 0.32); found != c.found {
			t.Errorf("%s: found %t, want %t", name, found, c.found)
		}
	}
}
