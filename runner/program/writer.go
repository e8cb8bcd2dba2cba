package program

import (
	"math"
	"strconv"

	"mahlstick/runner/motion"
)

// writer writes moves as lines, without the words whose values still hold.
type writer struct {
	text     Text
	head     bool // before the first block
	lines    int  // written, if they are counted
	out      []byte
	decimals int
	at       motion.Move
	known    bool // at is where the axes are
	feed     int32
	motion   string // "G0", "G1", or "" if none holds
}

// newWriter makes a writer with room for some moves: a line of three coordinates
// has 26 characters at most on a sheet below a metre, and most have fewer.
func newWriter(text Text, decimals, moves int) *writer {
	return &writer{text: text, head: true, decimals: decimals, out: make([]byte, 0, 4000+24*moves)}
}

func (w *writer) line(text string) {
	if text[0] != '(' {
		w.out = append(w.out, prefix(w)...)
	}
	w.out = append(append(w.out, text...), '\n')
	w.lines++
}

// longest is the greatest number of characters in a line.
func longest(w *writer) int {
	if w.text.Longest > 0 {
		return w.text.Longest
	}
	return maxLine
}

// mostNumber is the highest line number (NISTIR 6556, 3.3.1); the next is 0.
const mostNumber = 99_999

// prefix is the number of the next line with a blank after it; "" without numbers.
func prefix(w *writer) string {
	if !w.text.Numbered {
		return ""
	}
	return "N" + strconv.Itoa((w.lines+1)%(mostNumber+1)) + " "
}

// end writes the end of the program.
func end(w *writer) {
	if w.text.End30 {
		w.line("M30")
		return
	}
	w.line("M2")
}

// number is a coordinate in grid steps (0.0001 mm) as text. It must be a
// multiple of the last decimal.
func (w *writer) number(v int32) string { return string(w.appendNumber(nil, v)) }

func (w *writer) appendNumber(out []byte, v int32) []byte {
	if w.decimals == 3 {
		return appendDigits(out, int64(v)/10, 3)
	}
	return appendDigits(out, int64(v), 4)
}

// appendDigits appends v/10^decimals with that many decimals.
func appendDigits(out []byte, v int64, decimals int) []byte {
	if v < 0 {
		out, v = append(out, '-'), -v
	}
	unit := int64(1)
	for range decimals {
		unit *= 10
	}
	out = append(strconv.AppendInt(out, v/unit, 10), '.')
	for rest := v % unit; unit > 1; rest %= unit {
		unit /= 10
		out = append(out, byte('0'+rest/unit))
	}
	return out
}

// fixed is a length in mm as text with the given number of decimals.
func fixed(v float64, decimals int) string {
	scale := 1.0
	for range decimals {
		scale *= 10
	}
	return string(appendDigits(nil, int64(math.Round(v*scale)), decimals))
}

// move writes one move, or nothing if the axes are there already: a block
// without an axis word is an error.
func (w *writer) move(m motion.Move) {
	if w.known && m.X == w.at.X && m.Y == w.at.Y && m.Z == w.at.Z {
		return
	}
	if w.text.Numbered {
		w.out = append(w.out, prefix(w)...)
	}
	begin := len(w.out)
	axis := func(name byte, v int32) {
		w.out = w.appendNumber(append(w.out, ' ', name), v)
	}
	word := "G1"
	if m.Feed == 0 {
		word = "G0"
	}
	if word != w.motion {
		w.out = append(append(w.out, ' '), word...)
	}
	if !w.known || m.X != w.at.X {
		axis('X', m.X)
	}
	if !w.known || m.Y != w.at.Y {
		axis('Y', m.Y)
	}
	if m.Z != w.at.Z {
		axis('Z', m.Z)
	}
	if m.Feed != 0 && m.Feed != w.feed {
		w.out = strconv.AppendInt(append(w.out, " F"...), int64(m.Feed), 10)
		w.feed = m.Feed
	}
	w.out = append(append(w.out[:begin], w.out[begin+1:]...), '\n') // without the leading space
	w.motion, w.at, w.known = word, m, true
	w.lines++
}

// lift goes straight up from wherever the axes are.
func (w *writer) lift(height int32) {
	w.line("G0 Z" + w.number(height))
	w.motion, w.at.Z = "G0", height
}

// liftTo lifts the brush to a height if it is lower.
func liftTo(w *writer, height int32) {
	if w.at.Z < height {
		w.lift(height)
	}
}

// rest goes to the place to rest: across at the height where the brush is, then
// up.
func (w *writer) rest(at motion.Move) {
	w.move(motion.Move{X: at.X, Y: at.Y, Z: w.at.Z})
	w.move(at)
}

// retreat goes to the place to rest, at least at a height, past what is in the way.
func retreat(w *writer, height int32, by motion.Retreat, rest motion.Move) {
	liftTo(w, max(height, by.Z))
	for _, m := range by.Via {
		m.Z = w.at.Z
		w.move(m)
	}
	w.rest(rest)
}

// pause waits for the operator, who may move the axes by hand and change the
// feed meanwhile.
func (w *writer) pause() {
	if w.text.Pause1 {
		w.line("M1")
	} else {
		w.line("M0")
	}
	w.forget()
}

// forget makes the next move set its motion, X, Y and feed again.
func (w *writer) forget() { w.known, w.feed, w.motion = false, 0, "" }

// wait stays where the axes are for some seconds (NISTIR 6556, 3.5.4); 0 is no
// wait.
func (w *writer) wait(seconds float64) {
	if seconds > 0 {
		w.line("G4 P" + fixed(seconds, 2))
	}
}
