package formula

import "mahlstick/recipe/quantity"

// form is the form of a node of the tree.
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

// node is a part of a formula. from and to are its bytes in the formula, without
// brackets around it; opFrom and opTo are those of its operator, or of its
// function's name.
type node struct {
	form         form
	from, to     int
	opFrom, opTo int
	op           string  // operator: + - * / ^ < <= > >= == != and or not
	text         string  // number as written, folded name
	number       float64 // numberForm
	truth        bool
	unit         quantity.Unit      // unitForm
	reading      *quantity.Quantity // readingForm
	call         *function
	args         []*node
}

// walk visits the tree from the root down, arguments in order.
func (n *node) walk(visit func(*node)) {
	visit(n)
	for _, a := range n.args {
		a.walk(visit)
	}
}

// inProduct reports whether the operands of n are factors of one product: n is a
// product, a quotient or a sign.
func (n *node) inProduct() bool {
	return n.form == binaryForm && (n.op == "*" || n.op == "/") || n.form == unaryForm && n.op != "not"
}

// constants are the numbers that have a name.
var constants = map[string]float64{"pi": 3.141592653589793, "π": 3.141592653589793}
