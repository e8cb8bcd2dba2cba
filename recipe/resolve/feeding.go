package resolve

import (
	"mahlstick/recipe/formula"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
	"mahlstick/recipe/working"
)

// alongScope is a scope with values for the names along a stroke.
type alongScope struct {
	formula.Scope
	values map[string]formula.Value
}

// Lookup returns the value of a folded name.
func (s alongScope) Lookup(name string) (formula.Value, bool) {
	if v, ok := s.values[name]; ok {
		return v, true
	}
	return s.Scope.Lookup(name)
}

// ShowFeed shows the formula of a feed worked out at one press (mm) with a width
// (mm), where nothing bends, in the middle of the stroke. It is nothing where the
// name is taken or formulas took too much work.
func ShowFeed(name, remark, text string, press, width float64, scope formula.Scope, budget *formula.Budget) []working.Working {
	if _, taken := scope.Lookup(name); taken || name == "" {
		return nil
	}
	mm := func(v float64) formula.Value { return formula.OfQuantity(quantity.New(roundMicro(v), quantity.MM)) }
	at := alongScope{scope, map[string]formula.Value{
		"press": mm(press), "width": mm(width), "along": formula.OfQuantity(quantity.New(0.5, quantity.One)), "bend": formula.OfQuantity(quantity.New(0, quantity.PerMM))}}
	f, _ := formula.Parse(name, text, source.Place{})
	f.Remark = remark
	results, _ := budget.Evaluate([]*formula.Formula{f}, at, 1)
	if len(results) == 0 || !results[0].OK {
		return nil
	}
	return []working.Working{results[0].Working}
}
