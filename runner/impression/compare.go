package impression

import (
	"bytes"
	"fmt"
	"path"
	"slices"
	"strings"
	"unicode/utf8"

	"mahlstick/runner/record"
)

// Grade says how near a part of an impression came out again.
type Grade int8

// The grades, from the best.
const (
	Unknown Grade = iota // not compared
	Exact                // byte for byte
	Looks                // the page says the same and looks otherwise
	Differ
)

func (g Grade) String() string { return [...]string{"-", "exact", "looks", "differ"}[g] }

// Difference is where something first came out otherwise.
type Difference struct {
	File    string // below the impression's folder
	Line    int    // from 1, 0 for the file as a whole
	Was, Is string // the text of the line, shortened around the difference
}

func (d Difference) String() string {
	if d.Line == 0 {
		return fmt.Sprintf("%s %s, %s", d.File, d.Was, d.Is)
	}
	return fmt.Sprintf("%s:%d\n  was  %s\n  is   %s", d.File, d.Line, d.Was, d.Is)
}

// Comparison holds what was frozen against what its inputs give again.
type Comparison struct {
	Programs, Values, Checks, Page Grade
	// First is the first difference of each part that differs.
	First []Difference
	// Altered tells where a file that was changed on the disk first differs
	// from what was signed: Was is signed, Is stands there.
	Altered []Difference
	// Apart tells for each program that differs how far the marks are apart.
	Apart []Apart
	// Why says what is known of the reason.
	Why []string
}

// Same says whether all that a painting depends on came out again byte for
// byte. A page may look otherwise after an upgrade.
func (c *Comparison) Same() bool {
	return c.Programs == Exact && c.Values == Exact && c.Checks == Exact && (c.Page == Exact || c.Page == Looks)
}

// Compare compares the frozen outputs that stand as signed with those made
// again from the frozen inputs.
func Compare(f *Frozen, outputs []record.Output, again *record.Record) *Comparison {
	c := &Comparison{Programs: Exact, Values: Exact, Checks: Exact, Page: Exact}
	now := map[string][]byte{}
	for _, o := range outputs {
		now[o.Name] = o.Data
	}
	c.files(f, now)
	c.record(f.Record, again)
	c.why(f.Record, again)
	return c
}

// Stale tells how the programs and the values of a run differ from those that
// the recipe gives now; it is empty where the run is not stale. Prose and what
// is written under Results move neither.
func Stale(run *Frozen, outputs []record.Output, now *record.Record) []string {
	c := &Comparison{Programs: Exact, Values: Exact, Checks: Exact, Page: Exact}
	files := map[string][]byte{}
	for _, o := range outputs {
		if isProgram(o.Name) {
			files[o.Name] = o.Data
		}
	}
	programs := &Frozen{Outputs: run.Outputs, Record: &record.Record{}}
	for _, o := range run.Record.Outputs {
		if isProgram(o.Name) {
			programs.Record.Outputs = append(programs.Record.Outputs, o)
		}
	}
	c.files(programs, files)
	var out []string
	values := map[string]record.Value{}
	had, has := counting(run.Record.Values), counting(now.Values)
	for _, v := range had {
		values[v.Name] = v
	}
	for _, v := range has {
		was, there := values[v.Name]
		delete(values, v.Name)
		switch {
		case !there:
			out = append(out, fmt.Sprintf("%s is new: %s", v.Name, v.Value))
		case was.Value != v.Value:
			out = append(out, fmt.Sprintf("%s was %s and is %s", v.Name, was.Value, v.Value))
		case was.Formula != v.Formula:
			out = append(out, fmt.Sprintf("%s was %q and is %q", v.Name, was.Formula, v.Formula))
		}
	}
	for _, v := range had {
		if _, left := values[v.Name]; left {
			out = append(out, fmt.Sprintf("%s is gone", v.Name))
		}
	}
	if len(out) == 0 && c.Programs == Exact && !slices.Equal(had, has) {
		out = append(out, "the values stand in another order")
	}
	for _, d := range c.First {
		if d.Line == 0 {
			out = append(out, d.String())
		} else {
			out = append(out, fmt.Sprintf("%s differs from line %d on", d.File, d.Line))
		}
	}
	if run.Record.Engine != now.Engine {
		out = append(out, Why(run.Record, now.Engine, now.Version))
	}
	return out
}

// counting leaves out the values of the text.
func counting(values []record.Value) (out []record.Value) {
	for _, v := range values {
		if v.Name != record.InText {
			out = append(out, v)
		}
	}
	return out
}

// files compares programs, page and painting.
func (c *Comparison) files(f *Frozen, now map[string][]byte) {
	signed := map[string]bool{}
	for _, o := range f.Record.Outputs {
		if strings.HasPrefix(o.Name, AsRun+"/") {
			continue
		}
		signed[o.Name] = true
		was, stands := f.Outputs[o.Name]
		is, made := now[o.Name]
		switch {
		case !made:
			c.differs(o.Name, Difference{File: o.Name, Was: "was made", Is: "is not made any more"})
		case !stands && record.Hash(is) == o.SHA256:
			// Changed on the disk, and made again as it was signed.
			if now, read := f.Altered[o.Name]; read {
				d := firstDifference(is, now, isProgram(o.Name))
				d.File = o.Name
				c.Altered = append(c.Altered, d)
			}
		case !stands:
			c.differs(o.Name, Difference{File: o.Name, Was: "was changed on the disk", Is: "is not made again as it was signed"})
		case !bytes.Equal(was, is):
			d := firstDifference(was, is, isProgram(o.Name))
			d.File = o.Name
			c.differs(o.Name, d)
			if isProgram(o.Name) {
				c.Apart = append(c.Apart, apart(o.Name, was, is))
			} else if path.Ext(o.Name) == ".html" && bytes.Equal(words(was), words(is)) && c.Page == Differ && c.onlyPage() {
				c.Page = Looks
			}
		}
	}
	var more []string
	for name := range now {
		if !signed[name] && name != record.RecordName {
			more = append(more, name)
		}
	}
	slices.Sort(more)
	for _, name := range more {
		c.differs(name, Difference{File: name, Was: "was not made", Is: "is made now"})
	}
}

// onlyPage says that of the page's files only one was found to differ.
func (c *Comparison) onlyPage() bool {
	n := 0
	for _, d := range c.First {
		if !isProgram(d.File) {
			n++
		}
	}
	return n == 1
}

func isProgram(name string) bool { return path.Ext(name) == ".nc" }

func (c *Comparison) differs(name string, d Difference) {
	grade := &c.Page
	if isProgram(name) {
		grade = &c.Programs
	}
	*grade = Differ
	c.First = append(c.First, d)
}

// record compares the values and the outcome of the checks.
func (c *Comparison) record(was, again *record.Record) {
	is := *again
	is.Engine, is.Version, is.Impression, is.Outputs, is.Checks = was.Engine, was.Version, was.Impression, was.Outputs, was.Checks
	one := was.JSON()
	if two := is.JSON(); !bytes.Equal(one, two) {
		c.Values = Differ
		d := firstDifference(one, two, false)
		d.File = record.RecordName
		c.First = append(c.First, d)
	}
	is = *was
	is.Checks = again.Checks
	if two := is.JSON(); !bytes.Equal(one, two) {
		c.Checks = Differ
		d := firstDifference(one, two, false)
		d.File = record.RecordName
		c.First = append(c.First, d)
	}
}

// why tells what can be known of the reason.
func (c *Comparison) why(was, is *record.Record) {
	if c.Programs == Exact && c.Values == Exact && c.Checks == Exact && c.Page == Exact {
		return
	}
	c.Why = append(c.Why, Why(was, is.Engine, is.Version))
}

// Why says what is known of the reason why an impression does not come out
// again: the engine and the version that made it, and those that are here.
func Why(was *record.Record, engine int, version string) string {
	switch {
	case was.Engine != engine:
		return fmt.Sprintf("it was made by engine %d, this is engine %d: CHANGELOG.md says what changed; mahlstick %s makes it as it was", was.Engine, engine, was.Version)
	case was.Version != version:
		return fmt.Sprintf("it was made by mahlstick %s, this is %s with the same engine %d", was.Version, version, engine)
	}
	return fmt.Sprintf("it was made by the same engine %d and the same version %s: one of the two was built otherwise, which is a fault of the program", engine, version)
}

// firstDifference finds the first line in which two texts differ. In a
// program that is the first that moves the machine otherwise, where there is
// one: the hash in its head differs whatever it is.
func firstDifference(was, is []byte, program bool) Difference {
	var first Difference
	for line := 1; ; line++ {
		a, restA, moreA := bytes.Cut(was, []byte("\n"))
		b, restB, moreB := bytes.Cut(is, []byte("\n"))
		if !bytes.Equal(a, b) || moreA != moreB {
			d := Difference{Line: line}
			d.Was, d.Is = around(a, b, moreA, moreB)
			if !program || !comment(a) || !comment(b) {
				return d
			}
			if first.Line == 0 {
				first = d
			}
		}
		if !moreA || !moreB {
			return first
		}
		was, is = restA, restB
	}
}

// comment says whether a line of a program is nothing but a comment.
func comment(line []byte) bool { return len(line) > 0 && line[0] == '(' }

// Characters of a line that are shown before the place of the difference, and
// from it on.
const (
	shownBefore = 40
	shownAfter  = 80
)

// around shortens two lines around the first place where they differ.
func around(a, b []byte, moreA, moreB bool) (string, string) {
	at := 0
	for at < len(a) && at < len(b) && a[at] == b[at] {
		at++
	}
	for at > 0 && at < len(a) && !utf8.RuneStart(a[at]) {
		at--
	}
	show := func(s []byte, more bool) string {
		if len(s) == 0 && !more {
			return "(the end)"
		}
		start, end := max(0, at-shownBefore), min(len(s), at+shownAfter)
		for start > 0 && start < len(s) && !utf8.RuneStart(s[start]) {
			start--
		}
		for end < len(s) && !utf8.RuneStart(s[end]) {
			end++
		}
		text := plain(s[min(start, end):end])
		if start > 0 {
			text = "…" + text
		}
		if end < len(s) {
			text += "…"
		}
		return text
	}
	one, two := show(a, moreA), show(b, moreB)
	if bytes.Equal(a, b) { // only the line's end is there or not
		if moreA {
			return one, two + " (without a line end)"
		}
		return one + " (without a line end)", two
	}
	return one, two
}

// plain makes text safe for a terminal.
func plain(s []byte) string {
	return strings.Map(func(c rune) rune {
		if c < ' ' || c >= 0x7f && c < 0xa0 || c == utf8.RuneError {
			return '�'
		}
		return c
	}, string(s))
}

// words is what a page says: its text without marks of style, and without the
// blanks between.
func words(page []byte) []byte {
	var out bytes.Buffer
	for len(page) > 0 {
		open := bytes.IndexByte(page, '<')
		if open < 0 {
			open = len(page)
		}
		for _, w := range bytes.Fields(page[:open]) {
			out.Write(w)
			out.WriteByte(' ')
		}
		page = page[open:]
		for _, name := range []string{"style", "svg"} {
			if bytes.HasPrefix(page, []byte("<"+name)) {
				if end := bytes.Index(page, []byte("</"+name+">")); end >= 0 {
					page = page[end:]
				}
			}
		}
		shut := bytes.IndexByte(page, '>')
		if shut < 0 {
			break
		}
		page = page[shut+1:]
	}
	return out.Bytes()
}
