package runner_test

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// character is a character as published.
type character struct {
	name    string
	strokes []publishedStroke // in the order of writing
}

// publishedStroke is a stroke in the units of the data, y upwards.
type publishedStroke struct {
	path   string // its outline
	median [][2]float64
}

func newCharacter(name string, paths []string, medians [][][2]float64) character {
	c := character{name: name}
	for i, p := range paths {
		c.strokes = append(c.strokes, publishedStroke{p, medians[i]})
	}
	return c
}

// packageOfCharacters takes one file in 16 from the package, leaving out those
// that other tests paint: the 500 of .ci/strokes, evenly spread.
func packageOfCharacters(t *testing.T, dir string) []character {
	files, err := filepath.Glob(filepath.Join(dir, "*.json"))
	if err != nil {
		t.Fatal(err)
	}
	files = slices.DeleteFunc(files, func(f string) bool {
		return slices.Contains([]string{"package.json", "all.json"}, filepath.Base(f))
	})
	used := map[int]bool{}
	for k := range 500 {
		used[k*len(files)/500] = true
	}
	var out []character
	for i := 11; i < len(files); i += 16 {
		if used[i] {
			continue
		}
		data, err := os.ReadFile(files[i])
		if err != nil {
			t.Fatal(err)
		}
		var c struct {
			Strokes []string
			Medians [][][2]float64
		}
		if err := json.Unmarshal(data, &c); err != nil {
			t.Fatal(err)
		}
		out = append(out, newCharacter(strings.TrimSuffix(filepath.Base(files[i]), ".json"), c.Strokes, c.Medians))
	}
	if len(out) < 500 {
		t.Fatalf("%s holds %d characters that no other test paints, at least 500 are wanted", dir, len(out))
	}
	return out
}

// extractOfCharacters reads the file with a line a stroke: character, path and
// median, separated by tabs.
func extractOfCharacters(t *testing.T) []character {
	f, err := os.Open("testdata/characters/characters.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []character
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		cells := strings.Split(lines.Text(), "\t")
		var median [][2]float64
		if err := json.Unmarshal([]byte(cells[2]), &median); err != nil {
			t.Fatal(err)
		}
		if len(out) == 0 || out[len(out)-1].name != cells[0] {
			out = append(out, character{name: cells[0]})
		}
		last := &out[len(out)-1]
		last.strokes = append(last.strokes, publishedStroke{cells[1], median})
	}
	return out
}

// kind sorts strokes as calligraphers do, by their centre line (common practice,
// no source; the angles are ours).
func (s publishedStroke) kind() string {
	m := s.median
	first, last := m[0], m[len(m)-1]
	dx, dy := last[0]-first[0], last[1]-first[1]
	length, turn := 0.0, 0.0 // turn in radians, all of it to the same side counted
	for i := 1; i < len(m); i++ {
		length += math.Hypot(m[i][0]-m[i-1][0], m[i][1]-m[i-1][1])
		if i > 1 {
			a := math.Atan2(m[i-1][1]-m[i-2][1], m[i-1][0]-m[i-2][0])
			b := math.Atan2(m[i][1]-m[i-1][1], m[i][0]-m[i-1][0])
			turn += math.Abs(math.Remainder(b-a, 2*math.Pi))
		}
	}
	switch {
	case length < 160:
		return "dot"
	case turn > 1.9 && math.Hypot(dx, dy) < 0.85*length:
		return "turning or hooked"
	case math.Abs(dy) < 0.35*math.Abs(dx):
		return "level"
	case math.Abs(dx) < 0.25*math.Abs(dy):
		return "upright"
	case dy > 0:
		return "rising"
	case dx < 0:
		return "falling left"
	}
	return "falling right"
}

// rings gives the outline in mm, moved by (x, y). Curves become chords within
// 0.0005 mm.
func (s publishedStroke) rings(x, y float64) [][]place {
	var out [][]place
	var ring []place
	words := strings.Fields(s.path)
	take := func() place {
		u, _ := strconv.ParseFloat(words[0], 64)
		v, _ := strconv.ParseFloat(words[1], 64)
		words = words[2:]
		return place{x + u*unitMM, y + v*unitMM}
	}
	curve := func(control ...place) { // of Bézier, by de Casteljau's steps
		from := ring[len(ring)-1]
		const steps = 24
		for k := 1.0; k <= steps; k++ {
			points := append([]place{from}, control...)
			for len(points) > 1 {
				for i := range points[1:] {
					points[i] = points[i].towards(points[i+1], k/steps)
				}
				points = points[:len(points)-1]
			}
			ring = append(ring, points[0])
		}
	}
	for len(words) > 0 {
		command := words[0]
		words = words[1:]
		switch command {
		case "M":
			if len(ring) > 0 {
				out = append(out, ring)
			}
			ring = []place{take()}
		case "L":
			ring = append(ring, take())
		case "Q":
			curve(take(), take())
		case "C":
			curve(take(), take(), take())
		}
	}
	return append(out, ring)
}

// along gives how far along the median the nearest place to p is, from 0 to 1.
// The median is moved by (x, y) mm.
func (s publishedStroke) along(p place, x, y float64) float64 {
	nearest, at, walked := math.Inf(1), 0.0, 0.0
	for i := 1; i < len(s.median); i++ {
		a := place{x + s.median[i-1][0]*unitMM, y + s.median[i-1][1]*unitMM}
		b := place{x + s.median[i][0]*unitMM, y + s.median[i][1]*unitMM}
		share := p.shareOf(a, b)
		if d := p.distance(a.towards(b, share)); d < nearest {
			nearest, at = d, walked+share*a.distance(b)
		}
		walked += a.distance(b)
	}
	return at / walked
}
