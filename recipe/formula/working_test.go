package formula_test

import (
	"encoding/xml"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"

	"mahlstick/recipe/quantity"
)

var speedDim = quantity.Speed

// Every form of the language as it is shown.
func TestWorkings(t *testing.T) {
	results := workingFile(t)
	var b strings.Builder
	for _, r := range results {
		w := r.Working
		for _, s := range []string{w.Name + " = " + w.Formula, "  = " + w.Filled, "  = " + w.Result, "  needs " + strings.Join(w.Needs, ", ") + "; used by " + strings.Join(w.UsedBy, ", "), "  remark " + w.Remark,
			"  " + w.NameMath, "  " + w.FormulaMath, "  " + w.FilledMath, "  " + w.ResultMath} {
			b.WriteString(s + "\n")
		}
	}
	golden(t, "testdata/working.golden", b.String())
	for _, r := range results {
		for _, m := range []string{r.Working.NameMath, r.Working.FormulaMath, r.Working.FilledMath, r.Working.ResultMath} {
			if err := wellFormed(m); err != nil {
				t.Errorf("%s: %v\n%s", r.Formula.Name, err, m)
			}
		}
	}
}

// core are the elements of MathML Core (W3C, editor's draft of 2026-05-04)
// and, where it is fixed, how many children each has.
var core = map[string]int{
	"a": -1, "annotation": 0, "annotation-xml": -1, "maction": -1, "math": -1, "merror": -1, "mfrac": 2, "mi": 0, "mmultiscripts": -1, "mn": 0, "mo": 0,
	"mover": 2, "mpadded": -1, "mphantom": -1, "mprescripts": 0, "mroot": 2, "mrow": -1, "ms": 0, "mspace": 0, "msqrt": -1, "mstyle": -1, "msub": 2,
	"msubsup": 3, "msup": 2, "mtable": -1, "mtd": -1, "mtext": 0, "mtr": -1, "munder": 2, "munderover": 3, "semantics": -1,
}

// wellFormed checks one line: XML, one <math>, only elements of MathML Core,
// each with as many children as it takes.
func wellFormed(m string) error {
	if len(core) != 31 {
		return errors.New("MathML Core has 31 elements")
	}
	decoder := xml.NewDecoder(strings.NewReader(m))
	decoder.Strict = true
	var open elements
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			return nil
		}
		if err == nil {
			switch token := token.(type) {
			case xml.StartElement:
				err = open.start(token.Name.Local)
			case xml.EndElement:
				err = open.end()
			case xml.CharData:
				err = open.text(string(token))
			}
		}
		if err != nil {
			return err
		}
	}
}

// elements are those that are open, with the children they have so far.
type elements []struct {
	name     string
	children int
}

func (e *elements) start(name string) error {
	if _, ok := core[name]; !ok {
		return errors.New(name + " is not in MathML Core")
	}
	if (len(*e) == 0) != (name == "math") {
		return errors.New("math must be outermost")
	}
	if len(*e) > 0 {
		(*e)[len(*e)-1].children++
	}
	*e = append(*e, struct {
		name     string
		children int
	}{name: name})
	return nil
}

func (e *elements) end() error {
	last := (*e)[len(*e)-1]
	*e = (*e)[:len(*e)-1]
	if want := core[last.name]; want >= 0 && last.children != want {
		return errors.New(last.name + " has the wrong number of children")
	}
	return nil
}

func (e *elements) text(text string) error {
	if len(*e) == 0 || !slices.Contains([]string{"mi", "mn", "mo", "mtext"}, (*e)[len(*e)-1].name) {
		return errors.New("text outside mi, mn, mo and mtext: " + text)
	}
	if strings.TrimSpace(text) != text && !strings.Contains(text, "\u00a0") {
		return errors.New("spaces that a page drops: " + text)
	}
	return nil
}
