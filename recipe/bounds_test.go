package recipe_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"mahlstick/recipe"
	"mahlstick/recipe/problem"
)

// pile is formulas of which each needs all readings before it: their
// contributions grow with the square of their number.
func pile(n int) string {
	var b strings.Builder
	b.WriteString("```working\nr0 = 1 ± 0.1 mm\ns0 = r0\n")
	for i := 1; i < n; i++ {
		fmt.Fprintf(&b, "r%d = 1 ± 0.1 mm\ns%d = s%d + r%d\n", i, i, i-1, i)
	}
	b.WriteString("```\n")
	return b.String()
}

// What one job may cost is bounded for all its notebooks together, and
// reported once.
func TestBounds(t *testing.T) {
	ink := func(name, more string) string {
		return "# " + name + "\n## Ink\n| i | |\n|---|---|\n| colour | #123456 |\n\n" + more
	}
	links := func(n int) (out string) {
		for i := range n {
			out += fmt.Sprintf("[ink](../inks/i%d.md)\n", i)
		}
		return out
	}
	inks := func(n int, more string) map[string]string {
		files := map[string]string{}
		for i := range n {
			files[fmt.Sprintf("inks/i%d.md", i)] = ink(fmt.Sprintf("ink %d", i), more)
		}
		return files
	}
	var formulas, faults strings.Builder
	for i := range 10_001 {
		fmt.Fprintf(&formulas, "a%d = %d*mm\n", i, i)
	}
	for i := range 2000 {
		fmt.Fprintf(&faults, "a%d = %d*mn\nb%d = 1\n", i, i, i)
	}
	block := func(lines string) string { return "```working\n" + lines + "```\n" }
	for _, test := range []struct {
		name  string
		files map[string]string
		edit  string
		code  string
		file  string
		n     int
	}{
		{"readings of one notebook", inks(1, pile(3000)), links(1), "too-much-work", "inks/i0.md", 1},
		{"readings of many notebooks", inks(5, pile(1500)), links(5), "too-much-work", "inks/i3.md", 1},
		{"formulas", inks(2, block(formulas.String())), links(2), "too-many", "inks/i1.md", 1},
		{"notebooks", inks(63, ""), links(63), "too-many-notebooks", "heron/reeds.md", 2},
	} {
		root := withFiles(t, test.files, "## Layers\n", "## Layers\n"+test.edit+"\n")
		_, list := recipe.Read(root, "heron/reeds.md")
		n := 0
		for _, p := range list {
			if p.Severity == problem.Error {
				n++
			}
		}
		if n != test.n || string(list[0].Code) != test.code || list[0].Place.Name() != test.file {
			t.Errorf("%s: %d errors, want %d, %s in %s: %v", test.name, n, test.n, test.code, test.file, list[:min(len(list), 3)])
		}
	}
	// So many problems that nobody could read them: errors first.
	root := withFiles(t, map[string]string{}, "## Layers\n", strings.Repeat("<b>\n\n", 1500)+block(faults.String())+"## Layers\n")
	_, list := recipe.Read(root, "heron/reeds.md")
	count := map[string]int{}
	for _, p := range list {
		count[string(p.Code)+" "+p.Severity.String()]++
	}
	if len(list) != 1001 || count["unknown-name error"] != 1000 || count["too-many-problems error"] != 1 {
		t.Errorf("%d problems: %v", len(list), count)
	}
	hints := fstest.MapFS{}
	for name, file := range withFiles(t, nil, "## Layers\n", strings.Repeat("<b>\n\n", 1500)+"## Layers\n") {
		hints[name] = file
	}
	if _, list := recipe.Read(hints, "heron/reeds.md"); len(list) != 1001 || list.HasErrors() || list[1000].Code != "too-many-problems" ||
		list[1000].Message != "from here on, 500 more problems are not listed" {
		t.Errorf("%d problems, the last %v", len(list), list[len(list)-1])
	}
}
