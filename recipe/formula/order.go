package formula

import (
	"slices"
	"strings"

	"mahlstick/recipe/problem"
)

// order sorts the formulas so that each comes after those that it needs. Formulas
// in a loop, and formulas that need those, are left out; each loop is reported.
func (b *batch) order() []int {
	n := len(b.formulas)
	waits := make([]int, n) // by formula: how many of its needs are not in order yet
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

// loops reports the shortest loop through the first formula of each set of
// formulas that need each other.
func (b *batch) loops(waits []int) {
	for _, component := range b.loopedComponents(waits) {
		loop := b.loopFrom(component[0], component)
		names := make([]string, 0, len(loop)+1)
		var related []problem.Related
		for _, i := range loop {
			names = append(names, b.formulas[i].Name)
		}
		for k, i := range loop[1:] {
			related = append(related, problem.Related{Place: b.formulas[i].namePlace(), Note: names[k+1] + " needs " + append(names, names[0])[k+2]})
		}
		chain := strings.Join(append(names, names[0]), " -> ")
		if len(names) > maxLoopNames {
			chain = strings.Join(names[:maxLoopNames-1], " -> ") + " -> ... -> " + names[0]
			related = related[:maxLoopNames-1]
		}
		message := "these formulas need each other in a loop: " + chain
		if len(loop) == 1 {
			message = "the formula needs itself: " + chain
		}
		b.list.Add(problem.Problem{Code: problem.FormulaLoop, Place: b.formulas[loop[0]].namePlace(), Message: message,
			Fix: problem.Advise("give one of them a value that does not depend on the others"), Related: related})
	}
}

// maxLoopNames bounds how many names of a loop are printed.
const maxLoopNames = 24

// loopFrom finds the shortest way from a formula back to itself within its
// component, breadth first.
func (b *batch) loopFrom(start int, component []int) []int {
	inside := make(map[int]bool, len(component))
	for _, i := range component {
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

// loopedComponents finds the sets of formulas that need each other, each sorted
// by position, in the order of their first formulas.
func (b *batch) loopedComponents(waits []int) [][]int {
	n := len(b.formulas)
	search := componentSearch{needs: b.needs, index: make([]int, n), low: make([]int, n), next: make([]int, n), onStack: make([]bool, n)}
	for root := range n {
		if waits[root] > 0 && search.index[root] == 0 {
			search.from(root)
		}
	}
	looped := slices.DeleteFunc(search.found, func(c []int) bool { return len(c) == 1 && !slices.Contains(b.needs[c[0]], c[0]) })
	for _, component := range looped {
		slices.Sort(component)
	}
	slices.SortFunc(looped, func(a, b []int) int { return a[0] - b[0] })
	return looped
}

// componentSearch finds the strongly connected components of the graph of
// needs (R. Tarjan, SIAM J. Comput. 1(2), 1972, 146-160; without recursion,
// since a chain may be long).
type componentSearch struct {
	needs   [][]int
	index   []int // order of the first visit, 0 before it
	low     []int // the lowest index that is known to be reached
	next    []int // how many needs have been followed
	onStack []bool
	stack   []int
	count   int
	found   [][]int
}

// from visits all that can be reached from a formula.
func (s *componentSearch) from(root int) {
	path := []int{root}
	for len(path) > 0 {
		i := path[len(path)-1]
		if s.index[i] == 0 {
			s.count++
			s.index[i], s.low[i] = s.count, s.count
			s.stack, s.onStack[i] = append(s.stack, i), true
		}
		if j, ok := s.unvisited(i); ok {
			path = append(path, j)
			continue
		}
		path = path[:len(path)-1]
		if s.low[i] == s.index[i] {
			s.pop(i)
		}
	}
}

// unvisited returns the next need of i that was not visited, if any is left. On the
// way it takes over the lowest index that the visited ones reach.
func (s *componentSearch) unvisited(i int) (int, bool) {
	for s.next[i] < len(s.needs[i]) {
		j := s.needs[i][s.next[i]]
		if s.index[j] == 0 {
			return j, true
		}
		s.next[i]++
		if s.onStack[j] {
			s.low[i] = min(s.low[i], s.low[j])
		}
	}
	return 0, false
}

// pop takes the component of i from the stack.
func (s *componentSearch) pop(i int) {
	from := len(s.stack) - 1
	for s.stack[from] != i {
		from--
	}
	component := slices.Clone(s.stack[from:])
	s.stack = s.stack[:from]
	for _, j := range component {
		s.onStack[j] = false
	}
	s.found = append(s.found, component)
}
