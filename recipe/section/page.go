package section

import (
	"bytes"
	"io/fs"
	"net/url"
	"path"
	"slices"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/util"
)

// Piece is a piece of the notebook in reading order, ready for the page.
type Piece struct {
	Kind    Kind
	Section *Section // of SectionProse
	Fence   *Fence   // of Working
	// HTML is inert: no scripts, no raw HTML, nothing fetched from elsewhere.
	// Targets of links and pictures stay as written, relative to the notebook.
	HTML string
}

// Value returns the text to show for a span of code that is a name or a
// formula, or false to leave it code.
type Value func(code string) (text string, ok bool)

// Pieces renders the notebook. The title, the tables of data sections and
// the entries of a section below its first are left out.
func (d *Document) Pieces(value Value) []Piece {
	var out []Piece
	w := d.newWriter(value)
	headed := map[*Section]bool{}
	for _, p := range d.pieces {
		var b htmlBuffer
		for _, node := range p.nodes {
			if p.section == nil || node.Kind() != east.KindTable {
				w.render(&b, node, d.text)
			}
		}
		if p.kind == SectionProse {
			if headed[p.section] && b.Len() == 0 {
				continue
			}
			headed[p.section] = true
		}
		out = append(out, Piece{Kind: p.kind, Section: p.section, Fence: p.fence, HTML: b.String()})
	}
	return out
}

// EntryHTML renders an entry with its tables, without those to leave out.
func (d *Document) EntryHTML(e *Entry, leaveOut []*Table, value Value) string {
	w := d.newWriter(value)
	var b htmlBuffer
	tables := 0
	for _, node := range e.nodes {
		if node.Kind() == east.KindTable {
			tables++
			if slices.Contains(leaveOut, e.Tables[tables-1]) {
				continue
			}
		}
		w.render(&b, node, d.text)
	}
	return b.String()
}

// htmlWriter renders nodes. It replaces the library's own renderer where that
// would fetch, run or drop something.
type htmlWriter struct {
	renderer renderer.Renderer
	value    Value
	folder   string // of the notebook, below the studio
}

func (d *Document) newWriter(value Value) *htmlWriter {
	w := &htmlWriter{value: value, folder: path.Dir(d.File.Name)}
	w.renderer = renderer.NewRenderer(renderer.WithNodeRenderers(
		util.Prioritized(w, 100),
		util.Prioritized(extension.NewTableHTMLRenderer(), 500),
		util.Prioritized(html.NewRenderer(), 1000),
	))
	return w
}

// htmlBuffer collects rendered text. It implements the library's writer; with any
// other buffer the library would allocate a writer for each node.
type htmlBuffer struct{ bytes.Buffer }

// Buffered is always 0: everything is written at once.
func (s *htmlBuffer) Buffered() int { return 0 }

// Flush does nothing.
func (s *htmlBuffer) Flush() error { return nil }

var _ util.BufWriter = (*htmlBuffer)(nil)

func (w *htmlWriter) render(b *htmlBuffer, node ast.Node, source []byte) {
	_ = w.renderer.Render(b, source, node) // a buffer takes everything
}

// RegisterFuncs registers the kinds of nodes that are rendered here.
func (w *htmlWriter) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(ast.KindLink, w.link)
	reg.Register(ast.KindAutoLink, w.autoLink)
	reg.Register(ast.KindImage, w.image)
	reg.Register(ast.KindCodeSpan, w.codeSpan)
	reg.Register(ast.KindRawHTML, w.nothing)
	reg.Register(ast.KindHTMLBlock, w.nothing)
}

func (w *htmlWriter) nothing(util.BufWriter, []byte, ast.Node, bool) (ast.WalkStatus, error) {
	return ast.WalkSkipChildren, nil
}

func (w *htmlWriter) link(out util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*ast.Link)
	target := string(unescape(n.Destination))
	if !w.inside(target) && !isClickable(target) {
		return ast.WalkContinue, nil // the label alone
	}
	if !entering {
		_, _ = out.WriteString("</a>")
		return ast.WalkContinue, nil
	}
	if strings.HasPrefix(target, "#") {
		fragment, err := url.PathUnescape(target[1:])
		if err != nil {
			fragment = target[1:]
		}
		_, _ = out.WriteString(`<a href="#` + escape(AnchorPrefix+fragment) + `"`)
	} else {
		_, _ = out.WriteString(`<a href="` + escape(string(util.URLEscape(n.Destination, true))) + `"`)
	}
	if len(n.Title) > 0 {
		_, _ = out.WriteString(` title="` + escape(string(unescape(n.Title))) + `"`)
	}
	_ = out.WriteByte('>')
	return ast.WalkContinue, nil
}

func (w *htmlWriter) autoLink(out util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	n := node.(*ast.AutoLink)
	target := string(n.URL(source))
	if n.AutoLinkType == ast.AutoLinkEmail && !strings.HasPrefix(strings.ToLower(target), "mailto:") {
		target = "mailto:" + target
	}
	label := escape(string(n.Label(source)))
	if isClickable(target) {
		label = `<a href="` + escape(string(util.URLEscape([]byte(target), false))) + `">` + label + `</a>`
	}
	_, _ = out.WriteString(label)
	return ast.WalkContinue, nil
}

func (w *htmlWriter) image(out util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	n := node.(*ast.Image)
	target, alt := string(unescape(n.Destination)), escape(plain(n, source))
	if !w.inside(target) && !isEmbedded(target) {
		_, _ = out.WriteString(`<em>` + alt + `</em>`)
		return ast.WalkSkipChildren, nil
	}
	_, _ = out.WriteString(`<img src="` + escape(string(util.URLEscape(n.Destination, true))) + `" alt="` + alt + `"`)
	if len(n.Title) > 0 {
		_, _ = out.WriteString(` title="` + escape(string(unescape(n.Title))) + `"`)
	}
	_ = out.WriteByte('>')
	return ast.WalkSkipChildren, nil
}

func (w *htmlWriter) codeSpan(out util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	var code strings.Builder
	for c := node.FirstChild(); c != nil; c = c.NextSibling() {
		if t, ok := c.(*ast.Text); ok {
			code.Write(bytes.ReplaceAll(t.Segment.Value(source), []byte("\n"), []byte(" ")))
		}
	}
	text := code.String()
	if strings.Contains(text, `\|`) && inTable(node) {
		text = strings.ReplaceAll(text, `\|`, "|")
	}
	if w.value != nil {
		if shown, ok := w.value(text); ok {
			_, _ = out.WriteString(`<em class="value">` + escape(shown) + `</em>`)
			return ast.WalkSkipChildren, nil
		}
	}
	_, _ = out.WriteString("<code>" + escape(text) + "</code>")
	return ast.WalkSkipChildren, nil
}

// inTable reports whether a node is in a cell.
func inTable(node ast.Node) bool {
	for ; node != nil; node = node.Parent() {
		if node.Kind() == east.KindTableCell {
			return true
		}
	}
	return false
}

func escape(s string) string { return string(util.EscapeHTML([]byte(s))) }

// scheme is the part of a URL before its colon, in lower case; ok is false if there
// is none. Spaces and control characters are ignored, as browsers do.
func scheme(target string) (word string, ok bool) {
	target = strings.Map(func(c rune) rune {
		if unicode.IsSpace(c) || unicode.IsControl(c) {
			return -1
		}
		return unicode.ToLower(c)
	}, target)
	if i := strings.IndexAny(target, ":/?#"); i >= 0 && target[i] == ':' {
		return target[:i], true
	}
	return "", false
}

// isRelative reports whether a target is a path relative to the notebook, or a
// place in the notebook itself.
func isRelative(target string) bool {
	_, far := scheme(target)
	trimmed := strings.TrimSpace(target)
	return !far && trimmed != "" && trimmed[0] != '/' && trimmed[0] != '\\'
}

// inside reports whether a target is relative and stays in the studio. Browsers
// read a backslash as a slash.
func (w *htmlWriter) inside(target string) bool {
	if !isRelative(target) {
		return false
	}
	if end := strings.IndexAny(target, "?#"); end >= 0 {
		target = target[:end]
	}
	if plain, err := url.PathUnescape(target); err == nil {
		target = plain
	}
	return fs.ValidPath(path.Join(w.folder, strings.ReplaceAll(target, `\`, "/")))
}

// isClickable reports whether a reader may open a target with a click.
func isClickable(target string) bool {
	switch word, _ := scheme(target); word {
	case "http", "https", "mailto":
		return true
	}
	return false
}

// isEmbedded reports whether a target is a picture inside the link itself.
func isEmbedded(target string) bool {
	word, _ := scheme(target)
	return word == "data" && !html.IsDangerousURL([]byte(target))
}
