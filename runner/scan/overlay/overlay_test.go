package overlay_test

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"mahlstick/runner/scan/along"
	"mahlstick/runner/scan/overlay"
	"mahlstick/runner/vector"
)

// line is a stroke of 30 mm, too wide by so much in its middle.
func line(stroke int, wider float64) []along.Place {
	var out []along.Place
	for i := range 60 {
		p := along.Place{Stroke: stroke, Way: float64(i) / 2, At: vector.XY{X: 5 + float64(i)/2, Y: 10 * float64(stroke)}, Along: vector.XY{X: 1}, Asked: 1, Width: 1, U: 0.01}
		if i == 30 {
			p.Width += wider
		}
		out = append(out, p)
	}
	return out
}

// The worst place is the first, places near it are not listed, what is within its
// doubt is not.
func TestWorst(t *testing.T) {
	r := &along.Result{Places: append(append(line(1, 0.1), line(2, -0.3)...), line(3, 0.005)...)}
	worst := overlay.Worst(r)
	if len(worst) != 2 || worst[0].Stroke != 2 || worst[1].Stroke != 1 {
		t.Errorf("%+v", worst)
	}
	if got, want := overlay.Sentence(worst[0], []string{"reeds"}), "reeds, stroke 2, 15 mm from its beginning: 0.70 mm ± 0.01 mm, 0.30 mm narrower than asked"; got != want {
		t.Errorf("%s\nshould be\n%s", got, want)
	}
}

// The picture is XML with the scan in it, two edges of each kind a stroke, and no
// name can break out of it.
func TestWrite(t *testing.T) {
	s := overlay.Scan{Width: 1800, Height: 200, Pix: make([]uint8, 3*1800*200), PerMM: 4,
		Pixel: func(at vector.XY) vector.XY { return vector.XY{X: 4 * at.X, Y: 200 - 4*at.Y} }}
	r := &along.Result{Places: append(line(1, 0.1), line(2, 0)...)}
	r.Places[10].State = along.Hidden // parts the edges of the first
	var b strings.Builder
	if err := overlay.Write(&b, "a <b>", s, r, []string{"<script>"}); err != nil {
		t.Fatal(err)
	}
	count := map[string]int{}
	d := xml.NewDecoder(strings.NewReader(b.String()))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := token.(xml.StartElement); ok {
			count[e.Name.Local]++
		}
	}
	if count["image"] != 1 || count["path"] != 2*2*3 || count["circle"] != 1 || count["script"] != 0 {
		t.Errorf("%v", count)
	}
}
