package proof

import (
	"strings"
	"testing"
)

// judged is what becomes of a line.
type judged int8

const (
	accepted   judged = iota
	refused           // by the standard
	unfollowed        // allowed by the standard, and refused here: what it does depends on the machine
)

// language is a table of lines, each with the section of NISTIR 6556 that decides.
// Sections 3.2 to 3.5.4, 3.5.7, 3.5.18, 3.5.19, 3.6.1 and tables 4 and 8 were compared
// with its text; other numbers are from memory, as is all of ISO 6983-1:2009, which
// could not be read. Each line follows a head that sets modes, place and feed.
var language = []struct {
	line, section string
	want          judged
}{
	{"", "3.3", accepted},
	{" \t ", "3.3", accepted},
	{"g0 x1", "3.3", accepted},
	{"G 0 X 1 . 5", "3.3", accepted},
	{"G0\tX1\tY2", "3.3", accepted},
	{"G0 X1\r", "3.2", accepted},
	{"G0 X1 (" + strings.Repeat("a", 248) + ")", "3.3", accepted},
	{"G0 X1 (" + strings.Repeat("a", 249) + ")", "3.3", refused},
	{"/ G0 X1", "3.3", unfollowed},
	{"/N5 G0 X1", "3.3", unfollowed},
	{"G0 / X1", "3.3", refused},
	{"G0 X1 ; a comment", "3.3", refused},
	{"G0 X1 %", "3.2", refused},
	{"G0 X1 U2", "3.3.2, table 2", refused},
	{"O100", "3.3.2, table 2", refused},
	{"E5", "3.3.2, table 2", refused},
	{"G0 X1 !", "3.3", refused},
	{"N0 G0 X1", "3.3.1", accepted},
	{"N99999 G0 X1", "3.3.1", accepted},
	{"N00010", "3.3.1", accepted},
	{"N100000 G0 X1", "3.3.1", refused},
	{"N-1 G0 X1", "3.3.1", refused},
	{"N1.5 G0 X1", "3.3.1", refused},
	{"N G0 X1", "3.3.1", refused},
	{"G0 N5 X1", "3.3.6", refused},
	{"G0 X.5 Y5. Z+0.5", "3.3.2.1", accepted},
	{"G0 X-0.8807", "3.3.2.1", accepted},
	{"G00 X01", "3.3.2.1", accepted},
	{"G1.0 X1", "3.3.2.1", accepted},
	{"M2.00001", "3.3.2.1", accepted},
	{"G0 X1e-05", "3.3.2.1", refused},
	{"G0 X1,5", "3.3.2.1", refused},
	{"G0 X.", "3.3.2.1", refused},
	{"G0 X1.2.3", "3.3.2.1", refused},
	{"G0 X--1", "3.3.2.1", refused},
	{"G0 X", "3.3.2.1", refused},
	{"G1.01 X1", "3.3.2.1", refused},
	{"M3.5", "3.3.2.1", refused},
	{"G0 X#1", "3.3.2.2", unfollowed},
	{"G0 X[1+2]", "3.3.2.3", unfollowed},
	{"G0 X SIN[0]", "3.3.2.4", unfollowed},
	{"#3=15", "3.3.3", unfollowed},
	{"()", "3.3.4", accepted},
	{"(a comment)", "3.3.4", accepted},
	{"(MSG, look at the tip)", "3.3.4", accepted},
	{"(a)G0(b)X1(c)", "3.3.4", accepted},
	{"G0 X1 (a (b) c)", "3.3.4", refused},
	{"G0 X1 (a", "3.3.4", refused},
	{"G0 X1 )", "3.3.4", refused},
	{"G0 X1 Y2 X1", "3.3.5", refused},
	{"G0 G1 X1", "3.3.5", refused},
	{"G17 G18", "3.3.5, table 4", refused},
	{"G90 G91", "3.3.5, table 4", refused},
	{"G20 G21", "3.3.5, table 4", refused},
	{"G93 G94", "3.3.5, table 4", refused},
	{"G61 G64", "3.3.5, table 4", refused},
	{"G98 G99", "3.3.5, table 4", refused},
	{"M0 M2", "3.3.5, table 4", refused},
	{"M7 M8", "3.3.5, table 4", refused},
	{"M48 M49", "3.3.5, table 4", refused},
	{"M3 M6 M8 M48", "3.3.5", accepted},
	{"M3 M6 M8 M48 M0", "3.3.5", refused},
	{"G17 G21 G40 G49 G54 G64 G80 G90 G94 G98", "3.4, table 4", accepted},
	{"Y7 F30 X2 G1", "3.3.6", accepted},
	{"X1", "3.4", accepted},
	{"G0", "3.5.1", refused},
	{"G1 X1 Y2 Z3", "3.5.2", accepted},
	{"G1", "3.5.2", refused},
	{"G2 X1 Y1 I1", "3.5.3.2", accepted},
	{"G3 X1 Y1 Z2 J1", "3.5.3.2", accepted},
	{"G2 X0 I1", "3.5.3.2", accepted},
	{"G2 X1 Y1 R1", "3.5.3.1", accepted},
	{"G2 X1 Y1 R-1", "3.5.3.1", accepted},
	{"G2 X0 Y0 R1", "3.5.3.1", refused},
	{"G2 X10 Y0 R4", "3.5.3.1", refused},
	{"G2 Z1 I1", "3.5.3", refused},
	{"G2 X1 Y1", "3.5.3", refused},
	{"G2 X1 Y1 I1 K1", "3.5.3.2", refused},
	{"G18 G2 X2 K1 I1 Z5", "3.5.3.2", accepted},
	{"G4 P2.5", "3.5.4", accepted},
	{"G4 P0", "3.5.4", accepted},
	{"G4", "3.5.4", refused},
	{"G4 P-1", "3.5.4", refused},
	{"G10 L2 P1 X0", "3.5.5", unfollowed},
	{"G19", "3.5.6", accepted},
	{"G20", "3.5.7", accepted},
	{"G28", "3.5.8", unfollowed},
	{"G30 Z5", "3.5.8", unfollowed},
	{"G38.2 Z-1", "3.5.9", unfollowed},
	{"G40", "3.5.10", accepted},
	{"G41 D1", "3.5.10", unfollowed},
	{"G40 D1", "3.5.10", refused},
	{"G49", "3.5.11", accepted},
	{"G43 H1", "3.5.11", unfollowed},
	{"G49 H1", "3.5.11", refused},
	{"G53 G0 X1", "3.5.12", unfollowed},
	{"G54", "3.5.13", accepted},
	{"G59.3", "3.5.13", unfollowed},
	{"G59.4", "3.5.13", refused},
	{"G61.1", "3.5.14", accepted},
	{"G80", "3.5.15", accepted},
	{"G80 X1", "3.5.15", refused},
	{"G81 X1 Z-1 R1", "3.5.16", unfollowed},
	{"G91 X1", "3.5.17", accepted},
	{"G92 X0", "3.5.18", accepted},
	{"G92.1", "3.5.18", accepted},
	{"G92", "3.5.18", refused},
	{"G92 G0 X1", "3.5.18", refused},
	{"G93 G1 X1 F2", "3.5.19", accepted},
	{"G93 G1 X1", "3.5.19", refused},
	{"G99", "3.5.20", accepted},
	{"G5 X1", "3.5, table 5", refused},
	{"G-1 X1", "3.5, table 5", refused},
	{"M0", "3.6.1", accepted},
	{"M1", "3.6.1", accepted},
	{"M60", "3.6.1", accepted},
	{"M30", "3.6.1", accepted},
	{"M3 S1000", "3.6.2", accepted},
	{"T1 M6", "3.6.3", accepted},
	{"M9", "3.6.4", accepted},
	{"M48", "3.6.5", accepted},
	{"M100", "3.6, table 7", refused},
	{"F30", "3.7.1", accepted},
	{"F-9", "3.7.1", refused},
	{"S-1", "3.7.2", refused},
	{"T-1", "3.7.3", refused},
	{"T1.5", "3.7.3", refused},
	{"G0 X1 P2", "3.3.2, table 3", refused},
	{"G0 X1 I2", "3.3.2, table 3", refused},
	{"G0 X1 L2", "3.3.2, table 3", refused},
	{"G0 A90", "2.1.2.1", unfollowed},
	{"G01 X+1. F9", "ISO 6983-1, numbers", accepted},
	{"M02", "ISO 6983-1, M02", accepted},
	{"G71", "ISO 6983-1, G71", unfollowed},
	{"G95", "ISO 6983-1, G95", unfollowed},
	{"G33 X1", "ISO 6983-1, G33", unfollowed},
	{"G4 F2", "ISO 6983-1, G04", unfollowed},
	{"G74", "ISO 6983-1, G74", unfollowed},
	{"M19", "ISO 6983-1, M19", unfollowed},
	{":10 G0 X1", "ISO 6983-1, alignment", unfollowed},
}

// TestLanguage reads each line of the table.
func TestLanguage(t *testing.T) {
	if len(language) < 80 {
		t.Fatalf("only %d lines", len(language))
	}
	seen := map[string]bool{}
	for _, c := range language {
		if c.section == "" || seen[c.line] {
			t.Errorf("%q is twice, or without a section", c.line)
		}
		seen[c.line] = true
		_, faults := Read("line.nc", []byte("G21 G90 G94 G17\nG0 Z5 F60\nG0 X0 Y0\n"+c.line+"\n"))
		if (len(faults) == 0) != (c.want == accepted) {
			t.Errorf("%q, %s: %v", c.line, c.section, faults)
		}
		for _, f := range faults {
			if f.Line != 4 || f.Message == "" || f.Fix == "" {
				t.Errorf("%q: %+v", c.line, f)
			}
		}
		// What the standard allows is not called wrong: the reason is another.
		if c.want == unfollowed && len(faults) > 0 && strings.HasPrefix(c.section, "3.") && faults[0].Code == "unknown-word" {
			t.Errorf("%q is called unknown", c.line)
		}
	}
}
