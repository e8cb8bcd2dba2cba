package section

import (
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// The parser keeps no state between two texts, so one is enough. Of the library's
// table extension only the part that finds tables is used. The other part, which
// removes backslashes before bars in spans of code, takes time that grows with the
// square of their number; page.go does that work instead.
var markdown = goldmark.New(
	goldmark.WithParserOptions(
		parser.WithAutoHeadingID(),
		parser.WithParagraphTransformers(
			util.Prioritized(guard{}, 50), // before the library's own
			util.Prioritized(extension.NewTableParagraphTransformer(), 200),
		),
	),
).Parser()

func parse(source []byte) (ast.Node, parser.Context) {
	pc := parser.NewContext(parser.WithIDs(newAnchors()))
	return markdown.Parse(text.NewReader(source), parser.WithContext(pc)), pc
}

// plain is the text of a node without its markup.
func plain(node ast.Node, source []byte) string {
	var b strings.Builder
	_ = ast.Walk(node, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			value := n.Segment.Value(source)
			if _, code := n.Parent().(*ast.CodeSpan); !code && !n.IsRaw() {
				value = unescape(value)
			}
			b.Write(value)
			if n.SoftLineBreak() || n.HardLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(n.Value)
		case *ast.AutoLink:
			b.Write(n.Label(source))
		}
		return ast.WalkContinue, nil
	})
	return strings.TrimSpace(b.String())
}

// unescape replaces backslash escapes and character references with their
// characters.
func unescape(value []byte) []byte {
	return util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(value)))
}
