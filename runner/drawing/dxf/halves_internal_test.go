package dxf

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/collect"
	"mahlstick/runner/drawing/sink"
)

// inHalves reads a file whole and in two halves, however small it is, and
// wants the same of both.
func inHalves(t *testing.T, name string, data []byte, opt drawing.Options) {
	t.Helper()
	file := source.New(name, data)
	read := func(how Options) (*drawing.Drawing, problem.List) {
		c := collect.New(file, opt)
		Read(file, c, how)
		return c.Drawing()
	}
	whole, problems := read(Options{Workers: 1})
	halves, again := read(Options{Workers: 2, SplitFrom: 1})
	if fmt.Sprint(problems) != fmt.Sprint(again) {
		t.Errorf("%s: in halves its problems are\n%v\nwhole\n%v", name, again, problems)
	}
	if !reflect.DeepEqual(whole, halves) {
		t.Errorf("%s: in halves it is another drawing", name)
	}
}

func TestHalves(t *testing.T) {
	for _, kind := range []string{"mixed", "polylines", "lines", "splines", "bulges", "arcs"} {
		data := drawingOf(kind, 40_000)
		inHalves(t, kind, data, drawing.Options{})
		// Layers that are first met in either half, and things skipped.
		layered := bytes.ReplaceAll(data, []byte("\n8\n"), []byte("\n8\nL"))
		for i := range 6 {
			at := len(layered) * (i + 1) / 7
			if k := bytes.Index(layered[at:], []byte("\n8\nL")); k >= 0 {
				layered = append(layered[:at+k:at+k], append([]byte(fmt.Sprintf("\n8\nnew %d ", i%4)), layered[at+k+4:]...)...)
			}
		}
		inHalves(t, kind+" on layers", layered, drawing.Options{})
		inHalves(t, kind+" of one layer", layered, drawing.Options{Layer: "new 1 0"})
		for _, cut := range []int{len(data) / 3, len(data)/2 + 7, len(data) - 40} {
			inHalves(t, fmt.Sprintf("%s cut at %d", kind, cut), data[:cut], drawing.Options{})
		}
		for i := range 40 { // a fault somewhere
			bad := bytes.Clone(data)
			bad[len(bad)*(i+1)/41] = "x\n0-"[i%4]
			inHalves(t, fmt.Sprintf("%s with fault %d", kind, i), bad, drawing.Options{})
		}
	}
	files, err := filepath.Glob("../testdata/*.dxf")
	if err != nil {
		t.Fatal(err)
	}
	more, err := filepath.Glob("../../../notebooks/*/*.dxf")
	if err != nil || len(files)+len(more) < 10 {
		t.Fatal(len(files), len(more), err)
	}
	for _, name := range append(files, more...) {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		inHalves(t, name, data, drawing.Options{})
	}
}

// Layers that are met in another order in either half, and areas with a rule of
// their own, keep what they are.
func TestHalvesWithLayersAndAreas(t *testing.T) {
	triangle := func(x int, layer string) string {
		text := ""
		for _, s := range [][4]int{{x, 0, x + 4, 0}, {x + 4, 0, x, 5}, {x, 5, x, 0}} {
			text += fmt.Sprintf("0\nLINE\n8\n%s\n10\n%d\n20\n%d\n11\n%d\n21\n%d\n", layer, s[0], s[1], s[2], s[3])
		}
		return text
	}
	hatch := func(x int) string {
		path := func(x0, y0, x1, y1 int) string {
			return fmt.Sprintf("92\n2\n72\n0\n73\n1\n93\n4\n10\n%d\n20\n%d\n10\n%d\n20\n%d\n10\n%d\n20\n%d\n10\n%d\n20\n%d\n97\n0\n", x0, y0, x1, y0, x1, y1, x0, y1)
		}
		return "0\nHATCH\n8\nareas\n2\nSOLID\n70\n1\n71\n0\n91\n2\n" + path(x, 20, x+9, 29) + path(x+3, 23, x+6, 26) + "75\n0\n76\n1\n98\n0\n"
	}
	var b strings.Builder
	b.WriteString("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n")
	for i := range 24 {
		layer := [...]string{"xylem", "yarrow"}[i%2]
		if i >= 12 {
			layer = [...]string{"zinnia", "yarrow"}[i%2]
		}
		b.WriteString(triangle(10*i, layer) + hatch(10*i))
	}
	b.WriteString("0\nENDSEC\n0\nEOF\n")
	inHalves(t, "layers and areas", []byte(b.String()), drawing.Options{})
	inHalves(t, "one layer", []byte(b.String()), drawing.Options{Layer: "zinnia"})
	d, _ := readWhole(source.New("layers", []byte(b.String())), drawing.Options{})
	if len(d.Contours) != 24*3 {
		t.Errorf("%d contours", len(d.Contours))
	}
}

// Wherever the middle falls, near what is unusual or damaged too.
func TestHalvesRoundOddThings(t *testing.T) {
	line := func(i int) string {
		return fmt.Sprintf("0\nLINE\n8\nart\n10\n%d\n20\n0\n11\n%d\n21\n5\n", 3*i, 3*i+1)
	}
	for name, odd := range map[string]string{
		"polyline without end": "0\nPOLYLINE\n8\na\n66\n1\n70\n1\n" + strings.Repeat("0\nVERTEX\n8\na\n10\n1\n20\n2\n", 3),
		"copy with attributes": "0\nINSERT\n8\na\n66\n1\n2\nx\n10\n0\n20\n0\n0\nATTRIB\n8\na\n1\nhello\n",
		"text of a zero":       "0\nTEXT\n8\na\n1\n0\n",
		"comment of a zero":    "999\n0\n",
		"zero out of place":    "0\n",
	} {
		for pad := range 12 {
			var b strings.Builder
			b.WriteString("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n")
			for i := range 10 {
				b.WriteString(line(i))
			}
			b.WriteString(odd)
			for i := range 10 + pad {
				b.WriteString(line(20 + i))
			}
			b.WriteString("0\nSEQEND\n8\na\n" + line(90) + "0\nENDSEC\n0\nEOF\n")
			inHalves(t, fmt.Sprintf("%s, %d", name, pad), []byte(b.String()), drawing.Options{})
		}
	}
}

// watched notes whether a fork was joined.
type watched struct {
	*collect.Collector
	joined bool
}

func (w *watched) Join(fork sink.Splitter) bool {
	w.joined = w.Collector.Join(fork)
	return w.joined
}

// A drawing without a fault is read in halves indeed.
func TestHalvesAreTaken(t *testing.T) {
	file := source.New("mixed", drawingOf("mixed", 40_000))
	w := &watched{Collector: collect.New(file, drawing.Options{})}
	Read(file, w, Options{Workers: 2, SplitFrom: 1})
	if d, problems := w.Drawing(); !w.joined || len(problems) > 0 || len(d.Contours) == 0 {
		t.Errorf("joined %v, %d contours, %v", w.joined, len(d.Contours), problems)
	}
}

func FuzzHalves(f *testing.F) {
	for _, kind := range []string{"mixed", "lines"} {
		f.Add(drawingOf(kind, 2000))
	}
	f.Fuzz(func(t *testing.T, data []byte) { inHalves(t, "fuzzed", data, drawing.Options{}) })
}
