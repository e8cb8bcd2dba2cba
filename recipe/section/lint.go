package section

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/text"

	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

// Bounds on one notebook. They keep the Markdown library, some of whose work
// grows with the square of a line or of the nesting, far from its limits.
const (
	MaxBytes   = 4 << 20 // a thousand pages of text
	MaxLine    = 16 << 10
	MaxNesting = 100 // quotes and lists inside each other on one line
)

// admit checks what can be checked before parsing, and returns the text to
// parse: the file's bytes, each in its place, with a byte order mark blanked
// and lone carriage returns made line feeds.
func (r *reader) admit() (text []byte, ok bool) {
	text = r.doc.File.Data
	if len(text) > MaxBytes {
		r.problems.Errorf(problem.TooLarge, r.place(0, 0), problem.Advise("keep a notebook below 4 MB; pictures belong beside it"),
			"the notebook holds %d bytes, more than %d", len(text), MaxBytes)
		return nil, false
	}
	if bytes.HasPrefix(text, []byte("\xff\xfe")) || bytes.HasPrefix(text, []byte("\xfe\xff")) {
		r.problems.Errorf(problem.NotText, r.place(0, 2), problem.Advise("save it as UTF-8"), "the notebook is saved as UTF-16")
		return nil, false
	}
	if !utf8.Valid(text) || bytes.IndexByte(text, 0) >= 0 {
		at := 0
		for at < len(text) {
			c, n := utf8.DecodeRune(text[at:])
			if c == 0 || c == utf8.RuneError && n == 1 {
				break
			}
			at += n
		}
		r.problems.Errorf(problem.NotText, r.place(at, at+1), problem.Advise("save it as UTF-8"), "the notebook is not text: byte %#02x stands here", text[at])
		return nil, false
	}
	const mark = "\xef\xbb\xbf"
	if bytes.HasPrefix(text, []byte(mark)) {
		// Three blanks leave a heading a heading.
		text = append([]byte("   "), text[len(mark):]...)
	}
	if i := bytes.IndexByte(text, '\r'); i >= 0 {
		text = bytes.Clone(text)
		for ; i < len(text); i++ {
			if text[i] == '\r' && (i+1 == len(text) || text[i+1] != '\n') {
				text[i] = '\n'
			}
		}
	}
	for start := 0; start < len(text); {
		end := len(text)
		if i := bytes.IndexByte(text[start:], '\n'); i >= 0 {
			end = start + i + 1
		}
		if end-start > MaxLine {
			r.problems.Errorf(problem.LongLine, r.place(start, start), problem.Advise("break the line; it may be broken at any blank of a paragraph"),
				"the line holds %d bytes, more than %d", end-start, MaxLine)
			return nil, false
		}
		if nesting(text[start:end]) > MaxNesting {
			r.problems.Errorf(problem.DeepNesting, r.place(start, start), problem.Advise("take out marks of quotes and lists, or blanks, before the text"),
				"the line is nested more than %d deep", MaxNesting)
			return nil, false
		}
		start = end
	}
	return text, true
}

// nesting is how deep the marks and blanks before a line's text may nest it.
func nesting(line []byte) int {
	marks, columns := 0, 0
	for i := 0; i < len(line) && line[i] != '\n' && line[i] != '\r'; i++ {
		next := byte('\n')
		if i+1 < len(line) {
			next = line[i+1]
		}
		switch c := line[i]; {
		case c == ' ':
			columns++
		case c == '\t':
			columns += 4
		case c == '>':
			marks++
		case (c == '-' || c == '+' || c == '*' || c == '.' || c == ')') && blank(next):
			marks++
		case c >= '0' && c <= '9':
		default:
			return marks + max(0, columns-marks)/2
		}
	}
	return marks // nothing stands behind them
}

// wholeQuantity is a number with its unit.
var wholeQuantity = regexp.MustCompile(`^[-−+]?[0-9][0-9.]*(?: ?(?:±|\+/-) ?[0-9.]+)? ?(?:\pL[\pL/²³0-9]*|%|°)$`)

// wholeSpan is a formula between backticks or a link, wholeColour a colour.
var (
	wholeSpan   = regexp.MustCompile("^(?:`[^`]+`|\\[[^\\[\\]]*\\]\\([^()]*\\))$")
	wholeColour = regexp.MustCompile(`^#[0-9A-Fa-f]{6}$`)
)

// lintBars tells of cells that would be dropped and of bars that split a span
// of code. It answers whether there was anything to tell.
func (r *reader) lintBars(spans []span, want int) bool {
	before := len(r.problems)
	open := -1
	for i, s := range spans {
		if bytes.Count(r.doc.text[s.start:s.end], []byte("`"))%2 == 0 {
			continue
		}
		if open < 0 {
			open = i
			continue
		}
		r.lintSplitCode(spans[open].end, s.start)
		open = -1
		want = len(spans) // the same fault: do not tell it twice
	}
	if len(spans) <= want || want == 0 {
		return len(r.problems) > before
	}
	end := spans[len(spans)-1].end
	for spans[len(spans)-1].start == end && r.doc.text[end-1] != '|' {
		end--
		spans[len(spans)-1] = span{end, end}
	}
	// A bar between an ink and its colour splits the cell, wherever it stands.
	for k := 1; k < len(spans) && len(spans) == want+1; k++ {
		if a, b := spans[k-1], spans[k]; a.start < a.end && wholeColour.Match(r.doc.text[b.start:b.end]) {
			r.problems.Errorf(problem.SurplusCell, r.place(a.start, b.end), problem.Write(string(r.doc.text[a.start:a.end])+" "+string(r.doc.text[b.start:b.end])),
				"the row has %d cells where the header has %d; the rest would be dropped", len(spans), want)
			return true
		}
	}
	var words []string
	for _, s := range spans[want-1:] {
		if s.start < s.end {
			words = append(words, string(r.doc.text[s.start:s.end]))
		}
	}
	// A bar in the middle of a text split it; behind a whole quantity, formula
	// or link stands what belongs in no column.
	whole := strings.Join(words, " ")
	if len(words) > 1 && (wholeQuantity.MatchString(words[0]) || wholeSpan.MatchString(words[0])) {
		whole = words[0]
	}
	r.problems.Errorf(problem.SurplusCell, r.place(spans[want-1].start, end), problem.Write(whole),
		"the row has %d cells where the header has %d; the rest would be dropped", len(spans), want)
	return true
}

// lintSplitCode names each run of bars between two halves of a span of code.
func (r *reader) lintSplitCode(from, to int) {
	for i := from; i < to; i++ {
		if r.doc.text[i] != '|' {
			continue
		}
		end := i
		for end < to && r.doc.text[end] == '|' {
			end++
		}
		r.problems.Errorf(problem.UnescapedBar, r.place(i, end), problem.Write(strings.Repeat(`\|`, end-i)),
			"a bar splits the cell, even between backticks")
		i = end
	}
}

// lintRule tells of a row of dashes that is longer than its header: the
// library makes up the columns that are missing. It returns the row's end.
func (r *reader) lintRule(headerEnd, columns int) int {
	i := bytes.IndexByte(r.doc.text[headerEnd:], '\n')
	if i < 0 {
		return headerEnd
	}
	start := headerEnd + i + 1
	end := r.lineEnd(start)
	start, end = r.trim(start, end)
	if n := len(r.split(start, end)); n > columns {
		r.problems.Errorf(problem.RuleRow, r.place(start, end), problem.Write(rule(columns)),
			"the header has %s, this row of dashes %d", format.Count(columns, "column"), n)
	}
	return end
}

func rule(columns int) string { return strings.Repeat("|---", columns) + "|" }

// lintParagraph finds tables that the library leaves as text.
func (r *reader) lintParagraph(n *ast.Paragraph) {
	severity := problem.Warning
	if r.current != nil {
		severity = problem.Error
	}
	tell := func(at source.Place, fix problem.Fix, message string) {
		r.problems.Add(problem.Problem{Severity: severity, Code: problem.RuleRow, Place: at, Fix: fix, Message: message})
		if r.current != nil {
			r.current.Lost = true
		}
	}
	r.lintHeading(n)
	lines := n.Lines()
	for i := range lines.Len() {
		seg := lines.At(i)
		start, end := r.trim(seg.Start, seg.Stop)
		line := r.doc.text[start:end]
		if !bytes.HasPrefix(line, []byte("|")) && !(i+1 < lines.Len() && bytes.IndexByte(line, '|') >= 0) {
			continue
		}
		columns := len(r.split(start, end))
		if i+1 < lines.Len() {
			next := lines.At(i + 1)
			a, b := r.trim(next.Start, next.Stop)
			if looksLikeRule(r.doc.text[a:b]) {
				tell(r.place(a, b), problem.Write(rule(columns)),
					fmt.Sprintf("the header has %s, this row of dashes another number or other signs: all of it is read as text", format.Count(columns, "column")))
				return
			}
		}
		if bytes.HasPrefix(line, []byte("|")) && columns > 0 {
			tell(r.place(start, end), problem.AddBelow(rule(columns)),
				"a table needs a row of dashes under its header; without it, it is read as text")
			return
		}
	}
}

// lintHeading finds a section's heading that is text for want of a blank.
func (r *reader) lintHeading(n *ast.Paragraph) {
	seg := n.Lines().At(0)
	start, end := r.trim(seg.Start, seg.Stop)
	if start == end || r.doc.text[start] != '#' {
		return
	}
	line := string(r.doc.text[start:end])
	text := strings.TrimLeft(line, "#")
	if marks := len(line) - len(text); marks > 6 || text == "" || blank(text[0]) {
		return
	}
	if s := r.section(Text{text, r.place(end-len(text), end)}); s.Word != "" && (s.Rest.Empty() || r.rowsFollow(n)) {
		r.problems.Errorf(problem.UnknownSection, r.place(start, end), problem.Write("## "+text),
			"a heading has a blank behind its #; without it, this is read as text")
	}
}

// rowsFollow says whether a table is next.
func (r *reader) rowsFollow(n ast.Node) bool {
	return n.NextSibling() != nil && n.NextSibling().Kind() == east.KindTable
}

// lintHidden finds tables of a data section that are shown as they are written
// and set nothing.
func (r *reader) lintHidden(lines *text.Segments, fix problem.Fix) {
	if r.current == nil {
		return
	}
	for i := 0; i+1 < lines.Len(); i++ {
		head, rule := lines.At(i), lines.At(i+1)
		a, b := r.trim(rule.Start, rule.Stop)
		start, end := r.trim(head.Start, head.Stop)
		if bytes.IndexByte(r.doc.text[start:end], '|') >= 0 && looksLikeRule(r.doc.text[a:b]) {
			r.current.Hidden = r.place(start, end)
			r.problems.Warnf(problem.HiddenTable, r.current.Hidden, fix, "this table is shown as it is written and sets nothing")
			return
		}
	}
}

// looksLikeRule says whether a line is meant as the row of dashes: dashes of
// any kind, bars, colons, crosses, and nothing to read.
func looksLikeRule(line []byte) bool {
	dashes, bars := 0, 0
	for _, c := range string(line) {
		switch c {
		case '-', '–', '—', '−', '=', '_':
			dashes++
		case '|', '+', '│':
			bars++
		case ':', ' ', '\t':
		default:
			return false
		}
	}
	return dashes > 0 && bars > 0
}

// lintFence tells of a fence without an end. It returns the offset from which
// on the lines are taken to lie outside, or -1.
func (r *reader) lintFence(n *ast.FencedCodeBlock) int {
	open := max(n.Pos(), 0)
	after := r.lineEnd(open)
	for after < len(r.doc.text) && blank(r.doc.text[after]) && r.doc.text[after] != '\n' {
		after++
	}
	after = min(after+1, len(r.doc.text))
	if k := n.Lines().Len(); k > 0 {
		after = n.Lines().At(k - 1).Stop
	}
	if after < len(r.doc.text) {
		return -1 // a closing fence follows, or the list ends here
	}
	return r.lintOpenFence(n, open)
}

// lintOpenFence tells of a block that reaches the end of the file. It was
// probably meant to end before the first empty line, heading or table.
func (r *reader) lintOpenFence(n *ast.FencedCodeBlock, open int) int {
	opening := r.place(open, r.lineEnd(open))
	mark := strings.TrimSuffix(opening.Text(), strings.TrimLeft(opening.Text(), "`~"))
	last, hidden, ended := span{opening.Start, opening.End}, 0, false
	for i := range n.Lines().Len() {
		start, end := r.trim(n.Lines().At(i).Start, n.Lines().At(i).Stop)
		line := r.doc.text[start:end]
		switch {
		case len(line) == 0:
			ended = ended || last.start != open
		case ended || line[0] == '|' || bytes.HasPrefix(line, []byte("##")):
			ended = true
			hidden++
		default:
			last = span{start, end}
		}
	}
	p := problem.Problem{Severity: problem.Hint, Code: problem.UnclosedFence, Place: r.place(last.start, last.end), Fix: problem.AddBelow(mark),
		Message: "the block that ends here has no closing fence"}
	if hidden > 0 {
		r.doc.Cut = true
		p.Severity = problem.Error
		p.Message = fmt.Sprintf("the block has no closing fence: %s below would be read as part of it", format.Count(hidden, "line"))
	}
	if last.start != open {
		p.Related = []problem.Related{{Place: opening, Note: "it is opened here"}}
	}
	r.problems.Add(p)
	return last.end
}

// opensSomething is a line that a comment would not have: a heading of a
// section, a row of a table, a block.
var opensSomething = regexp.MustCompile("(?m)^(?:## |\\||```)")

// lintComment tells of a comment without an end: it hides the rest of the file.
func (r *reader) lintComment(n *ast.HTMLBlock) {
	at := n.Lines().At(0).Start
	rest := r.doc.text[at:]
	if n.HTMLBlockType != ast.HTMLBlockType2 || bytes.Contains(rest, []byte("-->")) || !opensSomething.Match(rest) {
		return // it has an end, or hides nothing but a remark
	}
	at += bytes.Index(r.doc.text[at:], []byte("<!--"))
	r.doc.Cut = true
	r.problems.Errorf(problem.UnclosedComment, r.place(at, at+len("<!--")), problem.Advise("write --> where the comment ends, or take away the <!--"),
		"the comment that begins here has no end and hides the rest of the file")
}

// lintHTML tells that raw HTML is not shown. Comments are meant to be hidden.
func (r *reader) lintHTML(at int) {
	if at, end := r.trim(at, r.lineEnd(at)); !bytes.HasPrefix(r.doc.text[at:end], []byte("<!--")) {
		r.problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.RawHtml, Place: r.place(at, end),
			Message: "raw HTML is left out of the page", Fix: problem.Advise("say it in Markdown")})
	}
}
