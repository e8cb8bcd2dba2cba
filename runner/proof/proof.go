// Package proof reads a machine program back and says what it really does: the
// path, the strokes, the time, whether the rules that keep brush, sheet,
// machine and hand from harm are kept, and what the brush leaves on the paper.
//
// It imports nothing but the standard library and shares no code with what
// writes programs. Limits, brush and drawn areas come in as plain values.
//
// Lengths are in mm, feeds in mm/min, accelerations in mm/s², times in
// seconds, angles in radians. Coordinates are those of the program as the
// machine obeys it: Z 0 is the first touch of the paper, the brush is in
// contact where Z is 0 or less, and a press p is Z = -p.
//
// Source of the language: T. R. Kramer, F. M. Proctor, E. Messina, The NIST
// RS274/NGC Interpreter - Version 3, NISTIR 6556, 17 August 2000; section
// numbers in comments are its own.
//
// Whatever can decide a byte of output uses only + - / and square roots, and
// products converted before they are added, so that every processor agrees.
package proof

import "fmt"

// Bounds on what is read. They count what there is, never time, so that every
// machine answers alike.
const (
	MaxBytes  = 32 << 20   // of program text
	MaxMoves  = 2_000_000  // moves, dwells and pauses
	MaxNotes  = 200_000    // words of note, and comments, each
	MaxChords = 20_000_000 // that stand for all arcs
	MaxFaults = 100        // told; reading stops there
	MaxLine   = 256        // characters of a line, section 3.3
	MaxCoord  = 1e6        // mm a coordinate may be from zero
)

// Point is a place in the program's coordinates, mm.
type Point struct{ X, Y, Z float64 }

// Kind tells what a move is.
type Kind int8

// The kinds of move.
const (
	Rapid Kind = iota // G0
	Feed              // G1
	Arc               // G2, G3
	Dwell             // G4
	Pause             // M0, M1, M60: until somebody goes on
)

func (k Kind) String() string {
	return [...]string{"rapid", "feed", "arc", "dwell", "pause"}[k]
}

// Axes is a set of axes.
type Axes uint8

// The axes.
const (
	X Axes = 1 << iota
	Y
	Z
)

// Move is one thing that the machine does.
type Move struct {
	Kind Kind
	// Stated are the axes whose words stand on the line, Unknown those of
	// which nothing was known before it. There, From holds the first value
	// that the program states later, so that nothing is measured twice.
	Stated, Unknown Axes
	Line            int // from 1
	From, To        Point
	Feed            float64 // along the path, mm/min; 0 for a rapid, and where none was set
	Seconds         float64 // of a dwell
	Turn            *Turn   // of an arc
}

// Turn is the round part of an arc: a circle in a plane, with the third axis
// moving evenly along it.
type Turn struct {
	Plane   int     // 17 XY, 18 ZX, 19 YZ
	Centre  Point   // the coordinate across the plane is that of From
	Sweep   float64 // radians, positive counter-clockwise seen from the positive end of the third axis
	Radius  float64 // at From
	EndsOff float64 // radius at To less that at From
}

// Word is a word of note: every G word but G0 to G3, every M, S and T word.
type Word struct {
	Letter       byte
	Value        float64
	Line, Column int
	Moves        int // how many moves were made before it took effect
}

func (w Word) String() string { return string(w.Letter) + plain(w.Value) }

// Comment is the text between round brackets.
type Comment struct {
	Text    string
	Message bool // begins with MSG, so that the machine shows it
	Line    int
	Column  int
}

// Path is a program as read.
type Path struct {
	Name     string
	Lines    int
	Moves    []Move
	Words    []Word
	Comments []Comment
	// Stated are the axes that the program states at all.
	Stated Axes
	// End is the line of M2 or M30, 0 where there is none; After is the first
	// line with anything on it beyond the end, 0 where there is none.
	End, After int
	Faults     []Fault
}

// Last is the place where the program leaves the machine.
func (p *Path) Last() Point {
	if len(p.Moves) == 0 {
		return Point{}
	}
	return p.Moves[len(p.Moves)-1].To
}

// Fault is a part of the text that a machine would refuse, or that cannot be
// followed without knowing what the machine has stored.
type Fault struct {
	File         string
	Line, Column int // from 1, in characters
	// Code names the kind of fault in short words with hyphens.
	Code string
	// Text is the part at fault.
	Text string
	// Message says what is wrong, Mend how to put it right.
	Message, Mend string
}

// String is place, message and code in one line.
func (f Fault) String() string {
	return fmt.Sprintf("%s:%d:%d: %s [%s]", f.File, f.Line, f.Column, f.Message, f.Code)
}
