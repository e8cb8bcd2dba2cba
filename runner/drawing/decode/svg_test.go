package decode_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/vector"
)

// page is an SVG of 100 x 80 mm with a user unit of 1 mm.
func page(content string) *source.File {
	return source.New("test.svg", []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="0 0 100 80">
`+content+"\n</svg>"))
}

func area(c drawing.Contour) float64 {
	sum := 0.0
	for i, p := range c.Points {
		q := c.Points[(i+1)%len(c.Points)]
		sum += p.X*q.Y - p.Y*q.X
	}
	return sum / 2
}

func TestSVGShapes(t *testing.T) {
	for _, c := range []struct {
		content string
		areas   []float64 // of the contours
	}{
		{`<rect x="10" y="10" width="20" height="5"/>`, []float64{100}},
		{`<rect x="1cm" y="10" width="20%" height="25%"/>`, []float64{400}}, // 1cm is read in px, only its place differs
		{`<rect width="20" height="10" rx="2"/>`, []float64{200 - (4-math.Pi)*4}},
		{`<rect width="20" height="10" rx="30" ry="2"/>`, []float64{200 - (4-math.Pi)*20}},
		{`<circle cx="50" cy="40" r="10"/>`, []float64{math.Pi * 100}},
		{`<ellipse cx="50" cy="40" rx="10" ry="5"/>`, []float64{math.Pi * 50}},
		{`<polygon points="0,0 10,0 10,10"/>`, []float64{50}},
		{`<polyline points="0 0 10 0 10 10"/>`, []float64{50}},
		{`<path d="M0 0h10v10h-10z"/>`, []float64{100}},
		{`<path d="M0 0H10V10H0"/>`, []float64{100}}, // filled as if closed
		{`<path d="m5,5l10,0,0,10zm20 0 5 0 0 5"/>`, []float64{50, 12.5}},
		{`<path d="M0 0L10 0L10 10Zl5 0l0 5z"/>`, []float64{50, 12.5}},
		{`<path d="M0 0a5 5 0 1010 0a5 5 0 10-10 0z"/>`, []float64{math.Pi * 25}},
		{`<path d="M0 0A5 5 0 0110 0"/>`, []float64{math.Pi * 12.5}},
		{`<path d="M0 0Q5 10 10 0z"/>`, []float64{100.0 / 3}},          // two thirds of 10 x 5
		{`<path d="M0 0q5 10 10 0t10 0z"/>`, []float64{0}},             // one above, one below
		{`<path d="M0 0C0 10 10 10 10 0z"/>`, []float64{60}},           // three fifths of 10 x 10
		{`<path d="M0 0C0 10 10 10 10 0S20-10 20 0z"/>`, []float64{0}}, // the mirror image follows
		{`<g transform="translate(50 40) rotate(30) scale(2)"><rect width="5" height="2"/></g>`, []float64{40}},
		{`<g transform="scale(1,-1)"><rect width="5" height="2"/></g>`, []float64{10}},
		{`<defs><rect id="a" width="5" height="2"/></defs><use href="#a"/><use x="20" xlink:href="#a" xmlns:xlink="http://www.w3.org/1999/xlink" transform="scale(2)"/>`, []float64{10, 40}},
		{`<symbol id="s" viewBox="0 0 10 10"><circle cx="5" cy="5" r="5"/></symbol><use href="#s" width="40" height="20"/>`, []float64{math.Pi * 100}},
		{`<svg x="10" y="10" width="20" height="20" viewBox="0 0 1 1"><rect width="1" height="0.5"/></svg>`, []float64{200}},
		{`<switch><rect systemLanguage="xx" width="50" height="50"/><rect width="5" height="2"/><rect width="9" height="9"/></switch>`, []float64{10}},
		{`<switch><foreignObject requiredExtensions="x"/><rect width="5" height="2"/><rect width="50" height="20"/></switch>`, []float64{10}},
		{`<a><rect width="5" height="2"/></a><svg:rect xmlns:svg="http://www.w3.org/2000/svg" width="1" height="2"/><rect xmlns="urn:other" width="9" height="9"/>`, []float64{10, 2}},
	} {
		d := read(t, page(c.content), drawing.Options{})
		var got []float64
		for _, k := range d.Contours {
			got = append(got, math.Abs(area(k)))
			if !k.Closed || k.Rule != contour.NonZero || k.Widths != nil {
				t.Errorf("%s: contour %+v", c.content, k)
			}
		}
		if len(got) != len(c.areas) {
			t.Errorf("%s: areas %v, want %v", c.content, got, c.areas)
			continue
		}
		for i := range got {
			if math.Abs(got[i]-c.areas[i]) > 0.05 {
				t.Errorf("%s: area %v, want %v", c.content, got[i], c.areas[i])
			}
		}
	}
}

// y runs up from the lower edge of the page.
func TestSVGTurnsTheAxis(t *testing.T) {
	d := read(t, page(`<path d="M10 20h30v5z"/>`), drawing.Options{})
	nearPoints(t, d.Contours[0].Points, vector.XY{X: 10, Y: 60}, vector.XY{X: 40, Y: 60}, vector.XY{X: 40, Y: 55})
	if p := d.Contours[0].Place; p.Line() != 2 || p.Column() != 1 || !strings.HasPrefix(p.Text(), "<path") {
		t.Errorf("place %v, text %q", p, p.Text())
	}
}

func TestSVGStrokes(t *testing.T) {
	d := read(t, page(`<path fill="none" stroke="#123" stroke-width="1.5" d="M0 0h10"/>
<g transform="scale(2)" stroke="black" fill="none"><path d="M0 0h10v10z" stroke-width="0.25"/></g>
<circle r="5" fill="red" stroke="blue" style="stroke-width:2px"/>
<path stroke="black" stroke-width="0" fill="none" d="M0 0h10"/>
<line x2="5" y2="5" stroke="black"/><line x2="5" y2="5"/>`), drawing.Options{})
	var got []string
	for _, c := range d.Contours {
		w := 0.0
		if c.Widths != nil {
			w = c.Widths[0]
		}
		got = append(got, fmt.Sprintf("%v %.2f %d", c.Closed, w, c.Group))
	}
	want := []string{"false 1.50 0", "true 0.50 0", "true 0.00 1", "true 2.00 0", "false 1.00 0"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if n := len(d.Skipped); n != 2 || d.Skipped[0].Why != "neither filled nor stroked" {
		t.Errorf("%+v", d.Skipped)
	}
}

func TestSVGStyles(t *testing.T) {
	d := read(t, page(`<style><![CDATA[
  /* no fill: */ .line { fill: none; stroke: black; }
  path.wide, #one { stroke-width: 3 } .hole{fill-rule:evenodd}
  .gone { display: none !important }  * { stroke-opacity: 1 }
]]></style>
<path class="line wide" d="M0 0h10"/>
<path class="line" d="M0 5h10"/>
<path class="line wide" style="stroke-width:2" d="M0 10h10"/>
<path id="one" class="line wide" d="M0 15h10"/>
<path class="gone" style="display:inline" d="M0 20h10v5z"/>
<path class="hole" fill-rule="nonzero" d="M0 30h10v5z"/>
<g visibility="hidden"><path d="M0 40h10v5z"/><path visibility="visible" d="M0 45h10v5z"/></g>
<g opacity="0"><path d="M0 50h10v5z"/></g>
<path fill="transparent" d="M0 60h10v5z"/>`), drawing.Options{})
	var got []string
	for _, c := range d.Contours {
		w := 0.0
		if c.Widths != nil {
			w = c.Widths[0]
		}
		got = append(got, fmt.Sprintf("%.0f %.0f %d", 80-c.Points[0].Y, w, c.Rule))
	}
	want := []string{"0 3 0", "5 1 0", "10 2 0", "15 3 0", "30 0 1", "45 0 2"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	whys := map[string]bool{}
	for _, c := range d.Skipped {
		whys[c.Why] = true
	}
	for _, why := range []string{"not displayed (display: none)", "hidden (visibility)", "wholly transparent", "neither filled nor stroked"} {
		if !whys[why] {
			t.Errorf("nothing was skipped as %s", why)
		}
	}
}

// What a drawing shows and no brush paints is reported once, at the first place:
// ends that are not round (of a line that states none, SVG 2 says butt in its
// section on stroke-linecap; from memory), and white that would hide something.
func TestSVGShowsOtherwise(t *testing.T) {
	const line = `fill="none" stroke="black" `
	for _, c := range []struct{ content, want string }{
		{`<path d="M0 0h10" ` + line + `/>`, "2:1 flat-ends"},
		{`<path d="M0 0h10z" stroke-linejoin="round" ` + line + `/>` + "\n" + `<line x2="9" ` + line + `stroke-linecap="square"/><path d="M0 0h10" ` + line + `/>`, "3:1 flat-ends"},
		{`<g stroke-linecap="round"><path d="M0 0h10" ` + line + `/></g>`, ""},
		{`<style>line{stroke-linecap:round}</style><line x2="9" ` + line + `/>`, ""},
		{`<g stroke-linecap="round"><path d="M0 0h10" style="stroke-linecap:inherit" ` + line + `/><path d="M0 0h10" stroke-linecap="butt" display="none" ` + line + `/></g>`, ""},
		{`<rect width="9" height="9" ` + line + `/>`, "2:1 pointed-corners"},
		{`<rect width="9" height="9" stroke-linejoin="round" ` + line + `/><circle r="9" ` + line + `/>`, ""},
		// Stretched unevenly it becomes a shape, with ends and corners; by so little it is a line.
		{`<g transform="scale(2 1)"><path d="M0 0h10" ` + line + `/><rect width="9" height="9" ` + line + `/></g>`, ""},
		{`<path transform="scale(1.001 1)" d="M0 0h10v10" ` + line + `/>`, "2:1 pointed-corners"},
		{`<rect width="9" height="9"/>` + "\n" + `<g fill="#FFF"><rect width="5" height="5"/><rect width="2" height="2"/></g>`, "3:16 white-shape"},
		{`<rect width="9" height="9" style="fill: rgb(255, 255, 255)"/>`, "2:1 white-shape"},
		{`<rect width="9" height="9" fill="none" stroke="white" stroke-linejoin="round"/>`, "2:1 white-shape"},
		{`<g fill="white"><rect width="9" height="9" fill="#fffffe"/><rect width="9" height="9" fill="none"/><rect width="9" height="9" visibility="hidden"/></g>`, ""},
	} {
		_, problems := decode.Drawing(page(c.content), drawing.Options{})
		var got []string
		for _, p := range problems {
			if want := map[string]problem.Severity{"flat-ends": problem.Hint, "pointed-corners": problem.Hint, "white-shape": problem.Warning}; p.Severity != want[string(p.Code)] {
				t.Errorf("%s: %s %v", c.content, p.Severity, p)
			}
			got = append(got, fmt.Sprintf("%d:%d %s", p.Place.Line(), p.Place.Column(), p.Code))
		}
		if strings.Join(got, ", ") != c.want {
			t.Errorf("%s: %q, want %q", c.content, got, c.want)
		}
	}
}

func TestSVGUnits(t *testing.T) {
	mm, cm := model.Unit{Name: "mm", MM: 1}, model.Unit{Name: "cm", MM: 10}
	overruled := mm
	overruled.Override = true
	for _, c := range []struct {
		root   string
		recipe model.Unit
		code   string
		unit   string
		side   float64 // mm of 10 user units
	}{
		{`width="210mm" height="297mm" viewBox="0 0 210 297"`, model.Unit{}, "", "mm", 10},
		{`width="21cm" height="29.7cm" viewBox="0 0 210 297"`, model.Unit{}, "", "mm", 10},
		{`width="21cm" viewBox="0 0 21 29.7"`, cm, "", "cm", 100},
		{`width="2in" height="1in"`, model.Unit{}, "", "px", 10 * 25.4 / 96},
		{`width="210" height="297" viewBox="0 0 210 297"`, model.Unit{}, "", "px", 10 * 25.4 / 96},
		{`width="595.28pt" height="841.89pt" viewBox="0 0 595.28 841.89"`, model.Unit{}, "", "pt", 10 * 25.4 / 72},
		{`viewBox="0 0 210 297"`, mm, "", "mm", 10},
		{`width="100%" height="100%" viewBox="0 0 210 297"`, cm, "", "cm", 100},
		{`width="210" height="297"`, overruled, "", "mm", 10},
		{`width="100mm" height="100mm" viewBox="0 0 1000 1000"`, mm, "", "0.1 mm", 1},
		{``, mm, "", "mm", 10},
		{`viewBox="0 0 210 297"`, model.Unit{}, "no-unit", "", 0},
		{`width="210" height="297"`, mm, "unit-clash", "", 0},
		{`width="21em"`, mm, "bad-value", "", 0},
		{`width="-5mm"`, mm, "bad-value", "", 0},
		{`viewBox="0 0 210"`, mm, "bad-value", "", 0},
		{`viewBox="0 0 210 0"`, mm, "bad-value", "", 0},
	} {
		f := source.New("test.svg", []byte(`<svg `+c.root+`><rect width="10" height="10"/></svg>`))
		if c.code != "" {
			wantCodes(t, f, drawing.Options{Unit: c.recipe}, c.code)
			continue
		}
		d := read(t, f, drawing.Options{Unit: c.recipe})
		if d.UnitName != c.unit || len(d.Contours) != 1 || math.Abs(math.Sqrt(math.Abs(area(d.Contours[0])))-c.side) > 1e-9*c.side {
			t.Errorf("%s: unit %s from %s, contours %+v", c.root, d.UnitName, d.UnitFrom, d.Contours)
		}
	}
}

func TestSVGLayers(t *testing.T) {
	f := page(`<g id="layer1"><title>Reed bed</title><g id="inner"><rect width="1" height="1"/></g></g>
<g id="birds"><rect x="5" width="2" height="2"/><rect id="mark" x="9" width="3" height="3"/></g><rect x="20" width="4" height="4"/>`)
	d := read(t, f, drawing.Options{})
	if got := fmt.Sprintf("%q %q %q %q", d.Layers, d.Contours[0].Layer, d.Contours[1].Layer, d.Contours[3].Layer); got != `["Reed bed" "birds" "inner"] "Reed bed" "birds" ""` {
		t.Errorf("layers %s", got)
	}
	sides := func(opt drawing.Options) string {
		var s []string
		for _, c := range read(t, f, opt).Contours {
			s = append(s, fmt.Sprintf("%.0f %s", math.Sqrt(math.Abs(area(c))), c.Layer))
		}
		return strings.Join(s, ", ")
	}
	for name, want := range map[string]string{
		"reed BED": "1 Reed bed", "layer1": "1 layer1", "inner": "1 inner", "birds": "2 birds, 3 birds", "mark": "3 mark",
	} {
		if got := sides(drawing.Options{Layer: name}); got != want {
			t.Errorf("layer %s: %s, want %s", name, got, want)
		}
	}
	if got := sides(drawing.Options{Layer: "inner", KeepLayers: []string{"mark"}}); got != "1 inner, 3 mark" {
		t.Errorf("with the mark: %s", got)
	}
	wantCodes(t, f, drawing.Options{Layer: "bird"}, "no-such-layer")
}

func TestSVGHostile(t *testing.T) {
	bomb := `<g id="b0"><rect width="1" height="1"/></g>`
	for i := 1; i <= 9; i++ {
		bomb += fmt.Sprintf(`<g id="b%d">`, i) + strings.Repeat(fmt.Sprintf(`<use href="#b%d"/>`, i-1), 10) + `</g>`
	}
	for name, c := range map[string]struct{ content, code string }{
		"copy of itself":     {`<g id="a"><use href="#a"/></g>`, "block-in-itself"},
		"copies of copies":   {`<defs>` + bomb + `</defs><use href="#b9"/>`, "too-large"},
		"deep":               {strings.Repeat("<g>", 1000) + strings.Repeat("</g>", 1000), "too-large"},
		"no such element":    {`<use href="#a"/>`, "no-such-block"},
		"path begins wrong":  {`<path d="L 10"/>`, "bad-value"},
		"path ends early":    {`<path d="M0 0 L 10"/>`, "bad-value"},
		"path with a word":   {`<path d="M0 0 L 10 x"/>`, "bad-value"},
		"path with nan":      {`<path d="M0 0 L nan 0"/>`, "bad-value"},
		"path far away":      {`<path d="M0 0 L 1e308 0 L 0 1e308"/>`, "beyond-reach"},
		"curve far away":     {`<path d="M0 0 C 1e308 0 0 1e308 5 5"/>`, "beyond-reach"},
		"number too large":   {`<path d="M0 0 L 1e999 0"/>`, "bad-value"},
		"huge transform":     {`<rect transform="scale(1e308)" width="1e10" height="1"/>`, "beyond-reach"},
		"no transform":       {`<rect transform="turn(5)" width="1" height="1"/>`, "bad-value"},
		"points":             {`<polygon points="0 0 1 a"/>`, "bad-value"},
		"odd points":         {`<polygon points="0 0 1"/>`, "bad-value"},
		"length":             {`<rect width="1,5" height="1"/>`, "bad-value"},
		"font length":        {`<rect width="1em" height="1"/>`, "bad-value"},
		"width of a stroke":  {`<path stroke="red" stroke-width="thick" d="M0 0h1"/>`, "bad-value"},
		"unclosed":           {`<g>`, "damaged-drawing"},
		"unknown entity":     {`&bomb;`, "damaged-drawing"},
		"attribute no quote": {`<rect width=5/>`, "damaged-drawing"},
	} {
		t.Run(name, func(t *testing.T) {
			problems := wantCodes(t, page(c.content), drawing.Options{}, c.code)
			if len(problems) > 0 && problems[0].Place.Line() < 2 {
				t.Errorf("%v", problems[0])
			}
		})
	}
	var attrs strings.Builder
	for i := range 20_000 {
		fmt.Fprintf(&attrs, ` a%d=""`, i)
	}
	wantCodes(t, page("<g"+attrs.String()+"/>"), drawing.Options{}, "too-large")
	rules := "<style>" + strings.Repeat(".a{fill:none}", 5_000) + "</style>"
	wantCodes(t, page(rules+strings.Repeat(`<path class="a" d="M0 0h1v1z"/>`, 5_000)), drawing.Options{}, "too-large")
	wantCodes(t, page("<style>"+strings.Repeat(".a{fill:none}", 50_000)+"</style><g/>"), drawing.Options{}, "too-large")
	heavy := `<defs><path id="p" d="` + strings.Repeat("M0 0", 100_000) + `"/></defs>` + strings.Repeat(`<use href="#p"/>`, 10_000)
	wantCodes(t, page(heavy), drawing.Options{}, "too-large")

	problems := wantCodes(t, page(`<g><path fill="red"
  d="M0 0 L 10 oops"/></g>`), drawing.Options{}, "bad-value")
	if p := problems[0]; p.Place.String() != "test.svg:3:17" && p.Place.String() != "test.svg:3:16" || p.Place.Text() != "oops" {
		t.Errorf("place %v, text %q", p.Place, p.Place.Text())
	}
	lol := `<!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]><svg>&b;</svg>`
	wantCodes(t, source.New("bomb.svg", []byte(lol)), drawing.Options{}, "damaged-drawing")
	outside := `<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg>&x;</svg>`
	wantCodes(t, source.New("outside.svg", []byte(outside)), drawing.Options{}, "damaged-drawing")
	wantCodes(t, source.New("page.html", []byte("<html></html>")), drawing.Options{}, "not-a-drawing")

	// What is in other files is reported, not fetched.
	_, list := decode.Drawing(page(`<image href="other.png"/><use href="other.svg#a"/><style>@import "other.css";</style>`), drawing.Options{})
	if len(list) != 2 || list.HasErrors() {
		t.Errorf("%v", list)
	}
}

// Two objects that share a boundary are both kept; an object on top of its
// copy is one.
func TestSVGTwins(t *testing.T) {
	ring := `<path fill-rule="evenodd" d="M0 0h20v20h-20zM5 5h10v10h-10z"/>`
	for content, want := range map[string]int{
		ring + `<rect x="5" y="5" width="10" height="10" fill="red"/>`: 3,
		ring + ring: 2,
		ring + `<path d="M5 5h10v10h-10zM30 0h5v5z"/>`:                        4,
		`<circle cx="9" cy="9" r="5"/><ellipse cx="9" cy="9" rx="5" ry="5"/>`: 1,
	} {
		if d := read(t, page(content), drawing.Options{}); len(d.Contours) != want {
			t.Errorf("%s: %d contours, want %d", content, len(d.Contours), want)
		}
	}
}

// Programs declare names of vocabularies as entities, and write other
// encodings than UTF-8.
func TestSVGTexts(t *testing.T) {
	declared := `<?xml version="1.0"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "svg11.dtd" [
<!ENTITY ns_svg "http://www.w3.org/2000/svg">]>
<svg xmlns="&ns_svg;" width="10mm" height="10mm" viewBox="0 0 10 10"><g id="gr&#252;n"><rect width="5" height="5"/></g></svg>`
	latin := strings.Replace(`<?xml version="1.0" encoding="ISO-8859-1"?><svg width="10mm" viewBox="0 0 10 10"><g id="grX"><rect width="5" height="5"/></g></svg>`, "X", "\xfcn", 1)
	var wide bytes.Buffer
	wide.WriteString("\xff\xfe")
	for _, r := range `<?xml version="1.0" encoding="UTF-16"?><svg width="10mm" viewBox="0 0 10 10"><g id="grün"><rect width="5" height="5"/></g></svg>` {
		wide.Write([]byte{byte(r), byte(r >> 8)})
	}
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	if _, err := z.Write([]byte(declared)); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{
		"declared": []byte(declared), "marked": []byte("\xef\xbb\xbf" + declared), "latin": []byte(latin), "wide": wide.Bytes(), "packed": packed.Bytes(),
	} {
		d := read(t, source.New(name, data), drawing.Options{})
		if len(d.Contours) != 1 || !slices.Equal(d.Layers, []string{"grün"}) {
			t.Errorf("%s: contours %+v, layers %v", name, d.Contours, d.Layers)
		}
	}
	wantCodes(t, source.New("cut.svgz", packed.Bytes()[:packed.Len()-20]), drawing.Options{}, "cut-off-drawing")
	wantCodes(t, source.New("cut.svgz", packed.Bytes()[:5]), drawing.Options{}, "cut-off-drawing")
	wantCodes(t, source.New("not.svgz", append([]byte{0x1f, 0x8b, 9, 9}, packed.Bytes()...)), drawing.Options{}, "damaged-drawing")
}

// A file cut off anywhere is reported as such.
func TestSVGCutOff(t *testing.T) {
	data := page(`<style>.a{fill:none}</style><g id="a"><path d="M0 0h10v10z"/></g><!-- end -->`).Data
	for n := range len(data) - 1 {
		_, problems := decode.Drawing(source.New("cut.svg", data[:n]), drawing.Options{})
		if !problems.HasErrors() {
			t.Errorf("cut off after %d of %d bytes: no error", n, len(data))
		}
	}
}

func FuzzSVG(f *testing.F) {
	for _, s := range []string{
		`<rect x="1" y="2" width="3" height="4" rx="1"/>`,
		`<path d="M0 0h5v5q1 2 3 4t5 6c1 2 3 4 5 6s1 2 3 4a5 3 20 1 0 9 9z" stroke="red" fill="none" transform="rotate(20)"/>`,
		`<style>.a,g.b#c{fill:none;stroke:#000}</style><g class="a"><use href="#x"/></g><symbol id="x" viewBox="0 0 1 1"><circle r="1"/></symbol>`,
		`<polygon points="0,0 1,1 2,0"/><ellipse rx="3" ry="20%"/><line x2="3" stroke="red"/><text>a</text>`,
		`<svg viewBox="0 0 3 4" preserveAspectRatio="xMaxYMin slice"><title>t</title><rect width="1" height="1"/></svg>`,
	} {
		f.Add(page(s).Data)
	}
	f.Add([]byte(`<!DOCTYPE svg [<!ENTITY a "b">]><svg>&a;</svg>`))
	f.Fuzz(func(t *testing.T, data []byte) {
		sound(t, "fuzz.svg", data, inMM)
		sound(t, "fuzz.svg", data, drawing.Options{Layer: "a", KeepLayers: []string{"mark"}})
	})
}
