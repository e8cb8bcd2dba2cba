package impression

import (
	"bytes"
	"fmt"
	"path"
	"slices"
	"strings"

	"mahlstick/runner/record"
)

// Grade is how well a part of an impression was reproduced.
type Grade int8

// The grades, from the best.
const (
	Unknown Grade = iota // not compared
	Exact                // byte for byte
	Looks                // a page that looks different, with the same text
	Differ               // something else differs
)

func (g Grade) String() string { return [...]string{"-", "exact", "looks", "differ"}[g] }

// Comparison is the result of comparing the frozen files with those made again from
// the same inputs.
type Comparison struct {
	Programs, Values, Checks, Page Grade
	// FirstDifferences holds the first difference in each file that differs.
	FirstDifferences []Difference
	// ChangedOnDisk holds, for each file that was changed on the disk, the first
	// difference: Was is what was signed, Is what the file says now.
	ChangedOnDisk []Difference
	// Distances holds, for each program that differs, how far its marks are apart.
	Distances []MarkDistance
	// Why holds the likely reasons.
	Why []string
}

// Same reports whether everything that a painting depends on was reproduced byte
// for byte. A page may look different after an upgrade.
func (c *Comparison) Same() bool {
	return c.Programs == Exact && c.Values == Exact && c.Checks == Exact && (c.Page == Exact || c.Page == Looks)
}

// Compare compares the frozen outputs with those made again from the frozen inputs.
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

// files compares programs, page and painting.
func (c *Comparison) files(f *Frozen, made map[string][]byte) {
	signed := map[string]bool{}
	for _, o := range f.Record.Outputs {
		if strings.HasPrefix(o.Name, AsRun+"/") {
			continue
		}
		signed[o.Name] = true
		was, unchanged := f.Outputs[o.Name]
		is, again := made[o.Name]
		switch {
		case !again:
			c.differs(o.Name, Difference{File: o.Name, Was: "was made", Is: "is no longer made"})
		case !unchanged && record.Hash(is) == o.SHA256:
			// Changed on the disk, and made again as it was signed.
			if now, read := f.ChangedOutputs[o.Name]; read {
				d := firstDifference(is, now, isProgram(o.Name))
				d.File = o.Name
				c.ChangedOnDisk = append(c.ChangedOnDisk, d)
			}
		case !unchanged:
			c.differs(o.Name, Difference{File: o.Name, Was: "was changed on the disk", Is: "is not made again as it was signed"})
		case !bytes.Equal(was, is):
			d := firstDifference(was, is, isProgram(o.Name))
			d.File = o.Name
			c.differs(o.Name, d)
			if isProgram(o.Name) {
				c.Distances = append(c.Distances, markDistance(o.Name, was, is))
			} else if path.Ext(o.Name) == ".html" && bytes.Equal(pageText(was), pageText(is)) && c.Page == Differ && c.onlyPage() {
				c.Page = Looks
			}
		}
	}
	var more []string
	for name := range made {
		if !signed[name] && name != record.RecordName {
			more = append(more, name)
		}
	}
	slices.Sort(more)
	for _, name := range more {
		c.differs(name, Difference{File: name, Was: "was not made", Is: "is made now"})
	}
}

// onlyPage reports whether one file that is not a program differs, and no other.
func (c *Comparison) onlyPage() bool {
	n := 0
	for _, d := range c.FirstDifferences {
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
	c.FirstDifferences = append(c.FirstDifferences, d)
}

// record compares the values and the outcome of the checks.
func (c *Comparison) record(was, again *record.Record) {
	is := *again
	is.Engine, is.Version, is.Impression, is.Outputs, is.Checks = was.Engine, was.Version, was.Impression, was.Outputs, was.Checks
	if !slices.ContainsFunc(was.Programs, func(p record.Program) bool { return p.OnSheet != "" }) {
		is.Programs = slices.Clone(is.Programs) // old records do not have it
		for i := range is.Programs {
			is.Programs[i].OnSheet = ""
		}
	}
	one := was.JSON()
	if two := is.JSON(); !bytes.Equal(one, two) {
		c.Values = Differ
		d := firstDifference(one, two, false)
		d.File = record.RecordName
		c.FirstDifferences = append(c.FirstDifferences, d)
	}
	is = *was
	is.Checks = again.Checks
	if two := is.JSON(); !bytes.Equal(one, two) {
		c.Checks = Differ
		d := firstDifference(one, two, false)
		d.File = record.RecordName
		c.FirstDifferences = append(c.FirstDifferences, d)
	}
}

// why adds the likely reason.
func (c *Comparison) why(was, is *record.Record) {
	if c.Programs == Exact && c.Values == Exact && c.Checks == Exact && c.Page == Exact {
		return
	}
	c.Why = append(c.Why, Why(was, is.Engine, is.Version))
}

// Why is the likely reason why an impression is not reproduced, from the engine and
// the version that made it, and those of this program.
func Why(was *record.Record, engine int, version string) string {
	switch {
	case was.Engine != engine:
		return fmt.Sprintf("it was made by engine %d, this is engine %d: CHANGELOG.md lists what changed; mahlstick %s makes the same programs", was.Engine, engine, was.Version)
	case was.Version != version:
		return fmt.Sprintf("it was made by mahlstick %s, this is %s with the same engine %d", was.Version, version, engine)
	}
	return fmt.Sprintf("it was made by the same engine %d and the same version %s: one of the two was built differently, which is a fault of the program", engine, version)
}
