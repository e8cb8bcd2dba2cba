package scene

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// station is the end of a straight move, in mm of the machine.
type station struct {
	x, y, z  float64
	stroke   int // 0 before the first
	touchOff int // how often the brush was touched off again before it
}

var strokeComment = regexp.MustCompile(`^\(stroke (\d+)[,)]`)

// interpret reads what a program says, in the words of ISO 6983-1 that such a
// program needs: G0, G1, G4, X, Y, Z. An arc is an error.
func interpret(text string) ([]station, error) {
	var out []station
	at := station{z: 1000}
	n := 0
	for line := range strings.Lines(text) {
		n++
		if line = strings.TrimSpace(line); strings.HasPrefix(line, "(") {
			if strings.Contains(line, "ouch off again, Z only") {
				at.touchOff++
			}
			if m := strokeComment.FindStringSubmatch(line); m != nil {
				at.stroke, _ = strconv.Atoi(m[1])
			}
			continue
		}
		moves := false
		for _, word := range strings.Fields(line) {
			value, err := strconv.ParseFloat(word[1:], 64)
			switch {
			case word[0] != 'G' && strings.IndexByte("XYZFPMST", word[0]) < 0 || err != nil:
				return nil, fmt.Errorf("line %d: %q is no word", n, word)
			case word == "G2" || word == "G3":
				return nil, fmt.Errorf("line %d: arcs are not expected", n)
			case word[0] == 'X':
				at.x, moves = value, true
			case word[0] == 'Y':
				at.y, moves = value, true
			case word[0] == 'Z':
				at.z, moves = value, true
			}
		}
		if moves {
			out = append(out, at)
		}
	}
	return out, nil
}
