package section

import (
	"bytes"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"

	"mahlstick/recipe/problem"
)

// Limits on one notebook that can be checked only while it is parsed.
const (
	MaxParagraphLines = 4000     // of a paragraph or a table: the library's work on links grows with their square
	MaxCells          = 500_000  // of all tables, including those missing from short rows: the library adds them
	MaxLinks          = 16 << 20 // bytes of all links' targets: a reference may be used again and again
)

var (
	cellsSoFar  = parser.NewContextKey()
	firstExcess = parser.NewContextKey()
)

// excess is the first paragraph that goes beyond a limit.
type excess struct {
	at, lines, cells int
}

// guard removes paragraphs with too many lines and tables with too many cells
// before the library works on them.
type guard struct{}

// Transform is called for each paragraph when its last line is known. A table
// is a paragraph until then.
func (guard) Transform(n *ast.Paragraph, reader text.Reader, pc parser.Context) {
	lines := n.Lines()
	cells := 0
	for i := 1; i < lines.Len() && lines.Len() <= MaxParagraphLines; i++ {
		seg := lines.At(i)
		if columns := ruleColumns(seg.Value(reader.Source())); columns > 0 {
			cells = columns * (lines.Len() - i + 1)
			break
		}
	}
	if cells > 0 {
		if before, ok := pc.Get(cellsSoFar).(int); ok {
			cells += before
		}
		pc.Set(cellsSoFar, cells)
	}
	if lines.Len() <= MaxParagraphLines && cells <= MaxCells {
		return
	}
	if pc.Get(firstExcess) == nil {
		pc.Set(firstExcess, excess{at: lines.At(0).Start, lines: lines.Len(), cells: cells})
	}
	n.Parent().RemoveChild(n.Parent(), n)
}

// ruleColumns counts the columns of a line that may be a table's row of dashes;
// 0 if it is not one.
func ruleColumns(line []byte) int {
	if len(bytes.Trim(line, "|-: \t\r\n")) > 0 || bytes.IndexByte(line, '-') < 0 {
		return 0
	}
	return bytes.Count(bytes.Trim(line, "| \t\r\n"), []byte("|")) + 1
}

// linkBytes adds up the targets and titles of all links and pictures.
func linkBytes(root ast.Node) (sum int) {
	_ = ast.Walk(root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			switch n := n.(type) {
			case *ast.Link:
				sum += len(n.Destination) + len(n.Title)
			case *ast.Image:
				sum += len(n.Destination) + len(n.Title)
			}
		}
		return ast.WalkContinue, nil
	})
	return sum
}

// admitTree checks the limits that need the parsed tree.
func admitTree(in *input, root ast.Node, pc parser.Context) bool {
	if e, ok := pc.Get(firstExcess).(excess); ok {
		at := in.place(e.at, e.at)
		if e.lines > MaxParagraphLines {
			in.problems.Errorf(problem.LongParagraph, at, problem.Advise("put empty lines between its parts"),
				"the paragraph or table that starts here has %d lines, more than %d", e.lines, MaxParagraphLines)
		} else {
			in.problems.Errorf(problem.LongParagraph, at, problem.Advise("use fewer columns or rows"),
				"with the table that starts here, the notebook has more than %d cells", MaxCells)
		}
		return false
	}
	if len(pc.References()) == 0 {
		return true // without references, the targets are part of the text
	}
	if n := linkBytes(root); n > MaxLinks {
		in.problems.Errorf(problem.LongParagraph, in.place(0, 0), problem.Advise("use references with long targets less often"),
			"the link targets of the notebook have %d bytes in all, more than %d", n, MaxLinks)
		return false
	}
	return true
}
