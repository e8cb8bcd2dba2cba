package svg

import (
	"slices"
	"strings"

	"mahlstick/runner/drawing/svg/css"
)

// Bounds on style sheets.
const (
	maxRules   = 20_000    // rules
	maxMatches = 3_000_000 // rules looked at for all elements
)

// rule is one rule of a style sheet for one selector.
type rule struct {
	css.Selector
	weight int
	values []css.Declaration
}

// ruleIndex holds the rules of all style elements of the file, as far as they concern
// properties that are used.
type ruleIndex struct {
	rules         []rule
	byKey         map[string][]int // rules by "#id", ".class", "element" or "*"
	tried         int              // rules looked at for elements so far
	notUnderstood bool             // some rule for a property that matters was not understood
}

// add adds the rules of a style element.
func (x *ruleIndex) add(text string) {
	sheet := css.Parse(text)
	x.notUnderstood = x.notUnderstood || len(sheet.Odd) > 0
	for _, r := range sheet.Rules {
		values := slices.DeleteFunc(r.Declarations, func(d css.Declaration) bool { return !matters(d.Name) })
		if len(values) == 0 {
			continue
		}
		x.notUnderstood = x.notUnderstood || slices.ContainsFunc(r.Odd, func(s string) bool { return s != "" })
		for _, s := range r.Selectors {
			x.addRule(rule{s, s.Weight(), values})
		}
	}
}

func (x *ruleIndex) addRule(r rule) {
	if len(x.rules) >= maxRules {
		x.tried = maxMatches // reported when the first element is drawn
		return
	}
	key := "*"
	switch {
	case r.ID != "":
		key = "#" + r.ID
	case len(r.Classes) > 0:
		key = "." + r.Classes[len(r.Classes)-1]
	case r.Element != "":
		key = r.Element
	}
	if x.byKey == nil {
		x.byKey = map[string][]int{}
	}
	x.byKey[key] = append(x.byKey[key], len(x.rules))
	x.rules = append(x.rules, r)
}

// matching lists the rules for an element, the weakest first.
func (x *ruleIndex) matching(n *node) []int {
	if len(x.rules) == 0 {
		return nil
	}
	id := n.attr("id")
	classes := strings.Fields(n.attr("class"))
	slices.Sort(classes)
	classes = slices.Compact(classes)
	var found []int
	look := func(key string) {
		for _, i := range x.byKey[key] {
			r := &x.rules[i]
			if x.tried += 1 + len(r.Classes); x.tried > maxMatches {
				return
			}
			if (r.Element == "" || r.Element == n.kind) && (r.ID == "" || r.ID == id) &&
				!slices.ContainsFunc(r.Classes, func(c string) bool {
					_, has := slices.BinarySearch(classes, c)
					return !has
				}) {
				found = append(found, i)
			}
		}
	}
	look("*")
	look(n.kind)
	for _, c := range classes {
		look("." + c)
	}
	look("#" + id)
	slices.SortFunc(found, func(i, j int) int {
		if x.rules[i].weight != x.rules[j].weight {
			return x.rules[i].weight - x.rules[j].weight
		}
		return i - j
	})
	return found
}

// declared lists an element's own declarations, the strongest last: attributes, then
// rules, then the style attribute.
func (x *ruleIndex) declared(n *node) []css.Declaration {
	var out []css.Declaration
	for _, a := range n.attrs {
		if matters(a.name) && a.name != "transform" { // the attribute is read on its own
			out = append(out, css.Declaration{Name: a.name, Value: strings.TrimSpace(a.value)})
		}
	}
	for _, i := range x.matching(n) {
		out = append(out, x.rules[i].values...)
	}
	if style := n.attr("style"); style != "" {
		for _, d := range css.ParseAttribute(style) {
			if matters(d.Name) {
				out = append(out, d)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b css.Declaration) int {
		switch {
		case a.Important == b.Important:
			return 0
		case b.Important:
			return -1
		}
		return 1
	})
	return out
}
