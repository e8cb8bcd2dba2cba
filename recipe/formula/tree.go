package formula

import "mahlstick/recipe/quantity"

// form tells what a node of the tree is.
type form uint8

const (
	numberForm form = iota
	unitForm
	nameForm
	truthForm
	readingForm // a measured value with ±, the whole formula
	unaryForm
	binaryForm
	callForm
	chooseForm // condition, then, else
)

// node is a part of a formula. from and to are the bytes of the formula that
// it takes, without brackets round it; at and end are those of its sign or of
// its function's name.
type node struct {
	form     form
	from, to int
	at, end  int
	op       string  // operator: + - * / ^ < <= > >= == != and or not
	text     string  // number as written, folded name
	number   float64 // numberForm
	truth    bool
	unit     quantity.Unit      // unitForm
	reading  *quantity.Quantity // readingForm
	call     *function
	args     []*node
}

// walk visits the tree from the root down, arguments in order.
func (n *node) walk(visit func(*node)) {
	visit(n)
	for _, a := range n.args {
		a.walk(visit)
	}
}

// constants are the numbers that have a name.
var constants = map[string]float64{"pi": 3.141592653589793, "π": 3.141592653589793}
