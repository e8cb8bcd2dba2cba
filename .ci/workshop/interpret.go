package main

import (
	"bufio"
	"fmt"
	"os"
	"strconv"
	"strings"
)

// station is a place of the machine's axis at the end of a straight move, in mm,
// with the feed of that move in mm/min (0: as fast as it goes) or a wait.
type station struct {
	x, y, z, feed float64
	wait          float64 // s the machine stays here
	check         bool    // belongs to a check mark or another mark beside the picture
	name          string  // the comment above the stroke
	touchOff      int     // how often the painter touched off again before it
}

// state is what a program has said so far.
type state struct {
	at          station
	modal       int
	check       bool
	name        string
	touchOff    int
	dwell, goes bool // what the line asks for
}

// interpret reads what the program says, in the words of ISO 6983 that such a
// program needs: G0, G1, G4, X, Y, Z, F, P. Anything else that moves is an error.
func interpret(file string) ([]station, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var out []station
	s := state{at: station{z: 1000}}
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 1<<20)
	for n := 1; lines.Scan(); n++ {
		if comment, ok := strings.CutPrefix(lines.Text(), "("); ok {
			s.comment(comment)
			continue
		}
		s.dwell, s.goes, s.at.wait = false, false, 0
		for _, word := range strings.Fields(lines.Text()) {
			if err := s.word(word); err != nil {
				return nil, fmt.Errorf("%s:%d: %w", file, n, err)
			}
		}
		if next := s.at; s.goes || s.dwell {
			next.check, next.name, next.touchOff = s.check, s.name, s.touchOff
			if s.modal == 0 {
				next.feed = 0
			}
			out = append(out, next)
		}
	}
	return out, lines.Err()
}

// comment tells marks beside the picture from strokes of it.
func (s *state) comment(text string) {
	switch {
	case strings.Contains(text, "ouch off again, Z only"):
		s.touchOff++
	case strings.HasPrefix(text, "stroke"):
		s.name = strings.TrimSuffix(strings.TrimSpace(text), ")")
	}
	if strings.Contains(text, "check mark") || strings.Contains(text, "register mark") {
		s.check = true
	} else if strings.HasPrefix(text, "stroke") {
		s.check = false
	}
}

func (s *state) word(word string) error {
	value, err := strconv.ParseFloat(word[1:], 64)
	if err != nil {
		return fmt.Errorf("%q is no word", word)
	}
	places := map[byte]*float64{'X': &s.at.x, 'Y': &s.at.y, 'Z': &s.at.z, 'F': &s.at.feed, 'P': &s.at.wait}
	if place := places[word[0]]; place != nil {
		*place = value
		s.goes = s.goes || strings.IndexByte("XYZ", word[0]) >= 0
	}
	if word[0] != 'G' {
		return nil
	}
	switch int(value) {
	case 0, 1:
		s.modal = int(value)
	case 4:
		s.dwell = true
	case 2, 3:
		return fmt.Errorf("arcs are not expected")
	}
	return nil
}
