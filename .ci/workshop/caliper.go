package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// How marks are read with calipers (common practice, no source): the edge of a
// wet mark wanders, a reading scatters, and the caliper has a step. In mm.
const (
	edgeWander  = 0.02
	readScatter = 0.05
	caliperStep = 0.01
	readings    = 3 // of a mark
	// touchScatter is how much one touch-off differs from the next.
	touchScatter = 0.03
)

// caliper reads lengths.
type caliper struct{ r *rand.Rand }

// read is readings of one length; 0 is read as 0.
func (c caliper) read(length float64) []float64 {
	out := make([]float64, readings)
	if length <= 0 {
		return out
	}
	length += edgeWander * c.r.NormFloat64()
	for i := range out {
		out[i] = math.Max(caliperStep, math.Round((length+readScatter*c.r.NormFloat64())/caliperStep)*caliperStep)
	}
	return out
}

// swatchMark is a mark of a swatch sheet: what one stroke of the program left.
type swatchMark struct {
	kind  string // its trial's
	discs []disc
}

var markName = regexp.MustCompile(`^stroke \d+, (.*), mark (\d+)$`)

// paintSwatch paints a swatch program, touching off anew where the program asks
// for it, and returns the marks by the number of their first reading.
func (k kit) paintSwatch(file string, on bench, r *rand.Rand) (map[int]swatchMark, error) {
	path, err := interpret(file)
	if err != nil {
		return nil, err
	}
	out := map[int]swatchMark{}
	usual, last := on.deep, 0
	for begin := 0; begin < len(path); {
		end := begin + 1
		for end < len(path) && path[end].name == path[begin].name {
			end++
		}
		name := markName.FindStringSubmatch(path[begin].name)
		if name != nil {
			if n := path[begin].touchOff; n != last {
				last, on.deep = n, usual+touchScatter*r.NormFloat64()
			}
			number, _ := strconv.Atoi(name[2])
			out[number] = swatchMark{kind: name[1], discs: k.brush.paint(path[begin:end], on)}
		}
		begin = end
	}
	return out, nil
}

// length is what a painter reads at a place of a mark, in a direction in degrees.
func (p swatchMark) length(x, y, across float64) float64 {
	if len(p.discs) == 0 {
		return 0
	}
	switch p.kind {
	case "rings": // the diameter of the middle line, once the mark has settled
		sum, n := 0.0, 0
		last := p.discs[len(p.discs)-1]
		for i := len(p.discs) - 1; i >= 0 && n < len(p.discs)/2; i-- {
			if d := p.discs[i]; d.r > 0.9*last.r {
				sum, n = sum+2*math.Hypot(d.x-x, d.y-y), n+1
			}
		}
		return sum / float64(n)
	case "corners":
		nearest := math.Inf(1)
		for _, d := range p.discs {
			nearest = math.Min(nearest, math.Hypot(d.x-x, d.y-y))
		}
		return nearest
	}
	return widthAcross(p.discs, x, y, across)
}

// widthAcross is how wide the discs are across a place, in a direction in degrees.
func widthAcross(discs []disc, x, y, across float64) float64 {
	ux, uy := math.Cos(across*math.Pi/180), math.Sin(across*math.Pi/180)
	type span struct{ from, to float64 }
	var spans []span
	for _, d := range discs {
		along, off := (d.x-x)*ux+(d.y-y)*uy, (d.y-y)*ux-(d.x-x)*uy
		if s := d.r*d.r - off*off; s > 0 {
			half := math.Sqrt(s)
			spans = append(spans, span{along - half, along + half})
		}
	}
	if len(spans) == 0 {
		return 0
	}
	slices.SortFunc(spans, func(a, b span) int { return int(math.Copysign(1, a.from-b.from)) })
	widest, run := 0.0, spans[0]
	take := func() {
		if run.from <= 0.2 && run.to >= -0.2 {
			widest = math.Max(widest, run.to-run.from)
		}
	}
	for _, s := range spans[1:] {
		if s.from <= run.to+0.01 {
			run.to = math.Max(run.to, s.to)
			continue
		}
		take()
		run = s
	}
	take()
	return widest
}

// measureSheet paints the programs of a swatch job and fills its list of what to
// measure, a column for each reading.
func (k kit) measureSheet(folder, filled string, on bench, r *rand.Rand) error {
	programs, err := filepath.Glob(filepath.Join(folder, "[1-9]*.nc"))
	if err != nil {
		return err
	}
	marks := map[int]swatchMark{}
	for _, file := range programs {
		found, err := k.paintSwatch(file, on, r)
		if err != nil {
			return err
		}
		for n, m := range found {
			marks[n] = m
		}
	}
	data, err := os.ReadFile(filepath.Join(folder, "to-measure.csv"))
	if err != nil {
		return err
	}
	rows, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
	if err != nil {
		return err
	}
	c := caliper{r}
	var out strings.Builder
	fmt.Fprintf(&out, "%s,measured 2 (mm),measured 3 (mm)\n", strings.Join(rows[0], ","))
	var mark swatchMark
	for _, row := range rows[1:] {
		number, _ := strconv.Atoi(row[0])
		if m, begins := marks[number]; begins {
			mark = m
		}
		cells := []string{"", "", ""}
		if mark.kind != "run-out" && mark.kind != "set-off" {
			for i, v := range c.read(mark.length(value(row[2]), value(row[3]), value(row[4]))) {
				cells[i] = strconv.FormatFloat(v, 'f', 2, 64)
			}
		}
		fmt.Fprintf(&out, "%s,%s\n", strings.Join(row[:8], ","), strings.Join(cells, ","))
	}
	return os.WriteFile(filled, []byte(out.String()), 0o644)
}

func value(text string) float64 {
	v, _ := strconv.ParseFloat(text, 64)
	return v
}
