package dxf

import (
	"bytes"
	"encoding/binary"
	"math"

	"mahlstick/runner/drawing/decimal"
)

// groups walks over the groups of a DXF file: a code and a value each. It
// allocates nothing and keeps the byte offset of every value.
//
// Source: DXF Reference, "About the DXF Format", "Group Code Value Types"
// and "Binary DXF Files".
type groups struct {
	data []byte
	pos  int // offset of the next group
	form groupForm

	code int // the current group's code
	at   int // offset of the current value: text without spaces around it, or raw bytes
	to   int // offset of its end

	// If numbers is set, coordinates are read as numbers while the end of their
	// line is looked for, which is faster.
	numbers  bool
	isNumber bool // the current value was read as a number
	value    float64

	fault   string // why the walk ended early, "" at a clean end
	faultAt int
	cut     bool // the file ends inside a group
}

type groupForm int8

const (
	textLF     groupForm = iota // lines end with LF or CR LF
	textCR                      // lines end with CR alone
	binaryByte                  // binary with codes of one byte, as up to release 12
	binaryWord                  // binary with codes of two bytes
)

// A binary DXF file begins with 22 bytes; these are the last of them.
const binaryMark = " Binary DXF\r\n\x1a\x00"

const binaryHead = 22

// IsBinary reports whether data is a binary DXF file.
func IsBinary(data []byte) bool {
	return len(data) >= binaryHead && string(data[binaryHead-len(binaryMark):binaryHead]) == binaryMark
}

var utf8Mark = []byte{0xEF, 0xBB, 0xBF}

// newGroups starts at the first group of a file.
func newGroups(data []byte) *groups {
	g := &groups{data: data}
	if IsBinary(data) {
		g.pos = binaryHead
		g.form = binaryByte
		// The first group is 0 SECTION: its code ends in a second zero
		// byte only where codes have two bytes.
		if len(data) > binaryHead+1 && data[binaryHead] == 0 && data[binaryHead+1] == 0 {
			g.form = binaryWord
		}
		return g
	}
	if bytes.HasPrefix(data, utf8Mark) {
		g.pos = len(utf8Mark)
	}
	if i := bytes.IndexByte(data, '\r'); i >= 0 && i+1 < len(data) && data[i+1] != '\n' && bytes.IndexByte(data[:i], '\n') < 0 {
		g.form = textCR
	}
	return g
}

// within is a walk over a part of the same file.
func (g *groups) within(start, end int) *groups {
	return &groups{data: g.data[:end], pos: start, form: g.form, numbers: g.numbers}
}

func (g *groups) isBinary() bool { return g.form >= binaryByte }

// next moves to the next group that is not a comment. It returns false at the end;
// fault then says what is wrong, if anything.
func (g *groups) next() bool {
	if g.form >= binaryByte {
		return g.nextBinary()
	}
	for {
		code, p, ok := g.codeLine()
		if !ok {
			return g.endText()
		}
		if g.numbers && code >= 10 && code < 60 && g.numberLine(code, p) {
			return true
		}
		if !g.valueLine(p) {
			return false
		}
		if code != 999 {
			g.code = code
			return true
		}
	}
}

// codeLine reads a line that is a group code, and returns where the next line begins.
// It handles the usual form itself: spaces, digits, end of line.
func (g *groups) codeLine() (code, next int, ok bool) {
	data, p := g.data, g.pos
	for p < len(data) && data[p] == ' ' {
		p++
	}
	first := p
	for p < len(data) && data[p]-'0' <= 9 {
		code = code*10 + int(data[p]-'0')
		p++
	}
	if digits := p - first; p < len(data) && data[p] == '\n' && digits-1 < 5 {
		return code, p + 1, digits > 0
	}
	return g.oddCodeLine()
}

// oddCodeLine is codeLine for every other form that is allowed.
func (g *groups) oddCodeLine() (code, next int, ok bool) {
	data, p := g.data, g.afterBlanks(g.pos)
	negative := p < len(data) && data[p] == '-'
	if negative {
		p++
	}
	first := p
	for p < len(data) && data[p]-'0' <= 9 {
		code = code*10 + int(data[p]-'0')
		p++
	}
	digits := p - first
	p = g.afterBlanks(p)
	if p < len(data) && g.form == textLF && data[p] == '\r' {
		p++
	}
	if p >= len(data) || data[p] != '\n' && data[p] != '\r' || digits == 0 || digits > 5 {
		return 0, p, false
	}
	if negative {
		code = -code
	}
	return code, p + 1, true
}

// valueLine takes the line that begins at p as the current value.
func (g *groups) valueLine(p int) bool {
	data := g.data
	end := byte('\n')
	if g.form == textCR {
		end = '\r'
	}
	n := bytes.IndexByte(data[p:], end)
	if n < 0 {
		at := g.pos
		g.pos = len(data)
		if n = len(data) - p; n == 0 {
			return g.stop(g.afterBlanks(at), "the file ends after a group code, in the middle of a group", true)
		}
	} else {
		g.pos = p + n + 1
	}
	last := p + n
	for last > p && data[last-1] <= ' ' {
		last--
	}
	for p < last && (data[p] == ' ' || data[p] == '\t') {
		p++
	}
	g.at, g.to, g.isNumber = p, last, false
	return true
}

func (g *groups) afterBlanks(p int) int {
	for p < len(g.data) && (g.data[p] == ' ' || g.data[p] == '\t') {
		p++
	}
	return p
}

// numberLine takes the line that begins at p as the current value if it is a plain
// number.
func (g *groups) numberLine(code, p int) bool {
	data := g.data
	for p < len(data) && data[p] == ' ' {
		p++
	}
	v, end, ok := decimal.Plain(data, p)
	if !ok || g.form != textLF {
		return false
	}
	next := end
	if next < len(data) && data[next] == '\r' {
		next++
	}
	if next >= len(data) || data[next] != '\n' {
		return false
	}
	g.code, g.at, g.to, g.pos = code, p, end, next+1
	g.isNumber, g.value = true, v
	return true
}

// endText decides what a line that is not a group code means: the end of the file, or
// damage.
func (g *groups) endText() bool {
	at := g.afterBlanks(g.pos)
	rest := bytes.Trim(g.data[min(at, len(g.data)):], " \t\r\n\x1a\x00")
	if len(rest) == 0 {
		g.pos = len(g.data)
		return false
	}
	if len(rest) < 6 && !bytes.ContainsAny(rest, "\r\n") && bytes.Trim(rest, "-0123456789") == nil {
		return g.stop(at, "the file ends after a group code, in the middle of a group", true)
	}
	return g.stop(at, "a group code is expected here: a whole number on a line of its own", false)
}

func (g *groups) stop(at int, why string, cut bool) bool {
	g.fault, g.faultAt, g.cut = why, at, cut
	g.code, g.at, g.to, g.isNumber = 0, at, at, false
	return false
}

// valueSize is the size in bytes of a code's value in binary files, or one of the
// constants below.
func valueSize(code int) int {
	switch {
	case code < 0:
		return textValue
	case code < 10:
		return textValue
	case code < 60:
		return 8
	case code < 80:
		return 2
	case code < 90:
		return textValue
	case code < 100:
		return 4
	case code < 110:
		return textValue
	case code < 150:
		return 8
	case code < 160:
		return textValue
	case code < 170:
		return 8
	case code < 180:
		return 2
	case code < 210:
		return textValue
	case code < 240:
		return 8
	case code < 270:
		return textValue
	case code < 290:
		return 2
	case code < 300:
		return 1
	case code < 310:
		return textValue
	case code < 320:
		return chunkValue
	case code < 370:
		return textValue
	case code < 390:
		return 2
	case code < 400:
		return textValue
	case code < 410:
		return 2
	case code < 420:
		return textValue
	case code < 430:
		return 4
	case code < 440:
		return textValue
	case code < 460:
		return 4
	case code < 470:
		return 8
	case code < 1004:
		return textValue
	case code == 1004:
		return chunkValue
	case code < 1010:
		return textValue
	case code < 1060:
		return 8
	case code < 1071:
		return 2
	default:
		return 4
	}
}

const (
	textValue  = -1 // ends with a zero byte
	chunkValue = -2 // begins with its length
)

func (g *groups) nextBinary() bool {
	for {
		data, p := g.data, g.pos
		if p >= len(data) {
			return false
		}
		start := p
		var code int
		switch {
		case g.form == binaryByte && data[p] != 255:
			code = int(data[p])
			p++
		case g.form == binaryByte && p+3 <= len(data):
			code = int(int16(binary.LittleEndian.Uint16(data[p+1:])))
			p += 3
		case g.form == binaryWord && p+2 <= len(data):
			code = int(int16(binary.LittleEndian.Uint16(data[p:])))
			p += 2
		default:
			return g.stop(start, "the file ends in the middle of a group", true)
		}
		if code < -5 || code > 1071 {
			return g.stop(start, "a group code from -5 to 1071 is expected here", false)
		}
		size := valueSize(code)
		after := 0
		switch size {
		case textValue:
			size = bytes.IndexByte(data[p:], 0)
			after = 1
		case chunkValue:
			size = -1
			if p < len(data) {
				size = int(data[p])
				p++
			}
		}
		if size < 0 || p+size+after > len(data) {
			return g.stop(start, "the file ends in the middle of a group", true)
		}
		g.pos = p + size + after
		if code == 999 {
			continue
		}
		g.code, g.at, g.to = code, p, p+size
		return true
	}
}

// number is the current value as a finite number.
func (g *groups) number() (float64, bool) {
	if g.isNumber {
		return g.value, true
	}
	if g.form < binaryByte {
		return decimal.Parse(g.val())
	}
	switch valueSize(g.code) {
	case 8:
		if g.code >= 160 && g.code < 170 {
			return float64(int64(binary.LittleEndian.Uint64(g.val()))), true
		}
		v := math.Float64frombits(binary.LittleEndian.Uint64(g.val()))
		return v, !math.IsNaN(v) && !math.IsInf(v, 0)
	case textValue:
		return decimal.Parse(g.val())
	}
	n, ok := g.integer()
	return float64(n), ok
}

// integer is the current value as a whole number.
func (g *groups) integer() (int, bool) {
	if g.form < binaryByte {
		return decimal.ParseInteger(g.val())
	}
	switch valueSize(g.code) {
	case 1:
		return int(g.val()[0]), true
	case 2:
		return int(int16(binary.LittleEndian.Uint16(g.val()))), true
	case 4:
		return int(int32(binary.LittleEndian.Uint32(g.val()))), true
	case textValue:
		return decimal.ParseInteger(g.val())
	}
	return 0, false
}

func (g *groups) is(word string) bool { return string(g.val()) == word }

// val is the current value.
func (g *groups) val() []byte { return g.data[g.at:g.to] }
