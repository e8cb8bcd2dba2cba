package logbook

import (
	"strings"
	"testing"
)

// A front that has no room moves what can be read on the back, and says no less.
func TestFrontFits(t *testing.T) {
	for layers := 1; layers <= perCard; layers++ {
		p := layersOf(layers)
		for i := range p.Layers {
			p.Layers[i].Loads = strings.Repeat("The machine loads the brush in its well. ", 5)
			p.Layers[i].Drying = 1200
		}
		s, err := card{newShown(p)}.Sheets()[0].Fitted()
		if err != nil {
			t.Fatal(err)
		}
		if high, err := frontHigh(s); err != nil || high > sideHigh {
			t.Errorf("%d layers: the front is %g mm high, %v", layers, high, err)
		}
	}
}

func TestShortScale(t *testing.T) {
	all := []ScaleRange{{"over 2.68", "anew"}, {"2.55 to 2.68", "raise 0.60"}, {"2.41 to 2.54", "raise 0.35"}, {"2.11 to 2.40", "leave"}, {"1.97 to 2.10", "lower 0.35"}, {"1.83 to 1.96", "lower 0.60"}, {"under 1.83", "anew"}}
	got := shortScale(all, 1)
	if len(got) != 5 || got[0] != (ScaleRange{"over 2.54", "anew"}) || got[4] != (ScaleRange{"under 1.97", "anew"}) {
		t.Errorf("got %v", got)
	}
	if len(shortScale(all, 2)) != len(all) {
		t.Error("a scale that is short enough is cut")
	}
}
