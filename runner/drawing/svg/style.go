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
	*css.Selector
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

// addElement takes the rules of a style element, if they are for a screen.
func (x *ruleIndex) addElement(n *node) {
	applies, known := css.Media(n.attr("media"))
	x.notUnderstood = x.notUnderstood || !known
	if kind := n.attr("type"); applies && (kind == "" || kind == "text/css") {
		x.add(string(n.text))
	}
}

// add takes the rules of a style sheet.
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

// matching gives the rules for an element, the weakest first. Alike is false
// where a rule is for it by what is around the element that it is copied with:
// root is the number of that element, 0 for none.
func (d *document) matching(n *node, root int32) (found []int, alike bool) {
	x := &d.rules
	alike = true
	if len(x.rules) == 0 {
		return nil, true
	}
	look := func(key string) {
		for _, i := range x.byKey[key] {
			if s := x.rules[i].Selector; d.matches(s, n, -1) {
				found = append(found, i)
				alike = alike && (root == 0 || d.matches(s, n, root))
			}
		}
	}
	look("*")
	look(n.kind)
	classes := strings.Fields(n.attr("class"))
	slices.Sort(classes)
	for _, c := range slices.Compact(classes) {
		look("." + c)
	}
	look("#" + n.attr("id"))
	slices.SortFunc(found, func(i, j int) int {
		if x.rules[i].weight != x.rules[j].weight {
			return x.rules[i].weight - x.rules[j].weight
		}
		return i - j
	})
	return found, alike
}

// matches says whether a selector is for an element, by what is inside the
// element with number root, itself included; -1 stands for all.
func (d *document) matches(s *css.Selector, n *node, root int32) bool {
	if d.rules.tried += 1 + len(s.Classes) + len(s.Attributes); d.rules.tried > maxMatches || !n.fits(s) || s.Root && root > 0 {
		return false
	}
	if s.Before == nil {
		return true
	}
	for root < 0 || n != &d.nodes[root] {
		if n.parent < 0 {
			break
		}
		if n = &d.nodes[n.parent]; d.matches(s.Before, n, root) {
			return true
		}
		if s.Child {
			break
		}
	}
	return false
}

// fits says whether an element is what a compound selector names.
func (n *node) fits(s *css.Selector) bool {
	if s.Element != "" && s.Element != n.kind || s.ID != "" && s.ID != n.attr("id") || s.Root && n.parent >= 0 {
		return false
	}
	for _, a := range s.Attributes {
		i := slices.IndexFunc(n.attrs, func(b attr) bool { return b.name == a.Name })
		if i < 0 || !a.Any && n.attrs[i].value != a.Value {
			return false
		}
	}
	if len(s.Classes) == 0 {
		return true
	}
	classes := strings.Fields(n.attr("class"))
	return !slices.ContainsFunc(s.Classes, func(c string) bool { return !slices.Contains(classes, c) })
}

// declaration is a declaration of an element.
type declaration struct {
	css.Declaration
	attribute bool // it is an attribute, in which lengths need no unit
}

// declared gives an element's own declarations, the strongest last:
// attributes, then rules, then the style attribute. Alike and root are those of
// matching.
func (d *document) declared(n *node, root int32) (out []declaration, alike bool) {
	for _, a := range n.attrs {
		if p, ok := properties[a.name]; ok && !p.styleOnly {
			out = append(out, declaration{css.Declaration{Name: a.name, Value: strings.TrimSpace(a.value)}, true})
		}
	}
	rules, alike := d.matching(n, root)
	for _, i := range rules {
		for _, v := range d.rules.rules[i].values {
			out = append(out, declaration{v, false})
		}
	}
	if style := n.attr("style"); style != "" {
		for _, v := range css.ParseAttribute(style) {
			if matters(v.Name) {
				out = append(out, declaration{v, false})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b declaration) int {
		switch {
		case a.Important == b.Important:
			return 0
		case b.Important:
			return -1
		}
		return 1
	})
	return out, alike
}
