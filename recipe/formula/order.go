package formula

import (
	"slices"
	"strings"

	"mahlstick/recipe/problem"
)

// order puts the formulas so that each stands behind what it needs. Formulas
// in a loop, and those that need them, are left out; each loop is reported.
func (b *batch) order() []int {
	n := len(b.formulas)
	waits := make([]int, n)
	users := make([][]int, n)
	for i, needs := range b.needs {
		waits[i] = len(needs)
		for _, j := range needs {
			users[j] = append(users[j], i)
		}
	}
	order := make([]int, 0, n)
	for i := range n {
		if waits[i] == 0 {
			order = append(order, i)
		}
	}
	for k := 0; k < len(order); k++ {
		for _, i := range users[order[k]] {
			if waits[i]--; waits[i] == 0 {
				order = append(order, i)
			}
		}
	}
	if len(order) < n {
		b.loops(waits)
	}
	return order
}

// loops reports the shortest loop through the first formula of each knot of
// formulas that need each other.
func (b *batch) loops(waits []int) {
	for _, knot := range b.knots(waits) {
		loop := b.loopFrom(knot[0], knot)
		names := make([]string, 0, len(loop)+1)
		var related []problem.Related
		for _, i := range loop {
			names = append(names, b.formulas[i].Name)
		}
		for k, i := range loop[1:] {
			related = append(related, problem.Related{Place: b.formulas[i].named(), Note: names[k+1] + " needs " + append(names, names[0])[k+2]})
		}
		chain := strings.Join(append(names, names[0]), " -> ")
		if len(names) > longestChain {
			chain = strings.Join(names[:longestChain-1], " -> ") + " -> ... -> " + names[0]
			related = related[:longestChain-1]
		}
		message := "the formulas need each other in a loop: " + chain
		if len(loop) == 1 {
			message = "the formula needs itself: " + chain
		}
		b.list.Add(problem.Problem{Code: problem.FormulaLoop, Place: b.formulas[loop[0]].named(), Message: message,
			Fix: problem.Advise("give one of them a value that does not hang on the others"), Related: related})
	}
}

// longestChain bounds the names of a loop that are printed.
const longestChain = 24

// loopFrom finds the shortest way from a formula back to itself within its
// knot, breadth first.
func (b *batch) loopFrom(start int, knot []int) []int {
	inside := make(map[int]bool, len(knot))
	for _, i := range knot {
		inside[i] = true
	}
	came := map[int]int{}
	queue := []int{start}
	for k := 0; k < len(queue); k++ {
		for _, j := range b.needs[queue[k]] {
			if j == start {
				var loop []int
				for i := queue[k]; ; i = came[i] {
					loop = append(loop, i)
					if i == start {
						break
					}
				}
				slices.Reverse(loop)
				return loop
			}
			if _, seen := came[j]; !seen && inside[j] {
				came[j] = queue[k]
				queue = append(queue, j)
			}
		}
	}
	return []int{start}
}

// knots finds the sets of formulas that need each other, each sorted by
// position, in the order of their first formulas (R. Tarjan, SIAM J. Comput.
// 1(2), 1972, 146-160; without recursion, since a chain may be long).
func (b *batch) knots(waits []int) [][]int {
	n := len(b.formulas)
	index, low, onStack, next := make([]int, n), make([]int, n), make([]bool, n), make([]int, n)
	var stack, path []int
	var knots [][]int
	counter := 0
	for root := range n {
		if waits[root] == 0 || index[root] != 0 {
			continue
		}
		path = append(path[:0], root)
		for len(path) > 0 {
			i := path[len(path)-1]
			if index[i] == 0 {
				counter++
				index[i], low[i] = counter, counter
				stack, onStack[i] = append(stack, i), true
			}
			deeper := false
			for next[i] < len(b.needs[i]) {
				j := b.needs[i][next[i]]
				if index[j] == 0 {
					path, deeper = append(path, j), true
					break
				}
				next[i]++
				if onStack[j] {
					low[i] = min(low[i], low[j])
				}
			}
			if deeper {
				continue
			}
			path = path[:len(path)-1]
			if low[i] != index[i] {
				continue
			}
			var knot []int
			for {
				j := stack[len(stack)-1]
				stack, onStack[j] = stack[:len(stack)-1], false
				knot = append(knot, j)
				if j == i {
					break
				}
			}
			if len(knot) > 1 || slices.Contains(b.needs[i], i) {
				slices.Sort(knot)
				knots = append(knots, knot)
			}
		}
	}
	slices.SortFunc(knots, func(a, b []int) int { return a[0] - b[0] })
	return knots
}
