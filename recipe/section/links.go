package section

import (
	"bytes"
	"net/url"
	"strings"

	"github.com/yuin/goldmark/ast"

	"mahlstick/recipe/problem"
)

// linkReader finds the links and pictures of a notebook, and adds the pictures to
// its document.
type linkReader struct {
	*input
	doc *Document
}

// below lists the links below a node, not the pictures.
func (r *linkReader) below(node ast.Node) []Link {
	var out []Link
	_ = ast.Walk(node, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Link:
			out = append(out, r.link(n))
			return ast.WalkSkipChildren, nil
		case *ast.Image:
			r.picture(n)
			return ast.WalkSkipChildren, nil
		case *ast.RawHTML:
			if n.Segments.Len() > 0 {
				r.lintHTML(n.Segments.At(0).Start)
			}
		}
		return ast.WalkContinue, nil
	})
	return out
}

// picture records a picture that is in the studio, and reports one that will not
// be shown.
func (r *linkReader) picture(n *ast.Image) {
	l := r.locate(n, n.Destination, n.Reference != nil)
	if !isRelative(string(unescape(n.Destination))) {
		if !isEmbedded(string(n.Destination)) {
			r.problems.Warnf(problem.FarPicture, l.TargetPlace, problem.Advise("keep a copy in the studio and write its path"),
				"the page shows no pictures from outside the studio: %q", string(n.Destination))
		}
		return
	}
	r.doc.Pictures = append(r.doc.Pictures, l)
}

func (r *linkReader) link(n *ast.Link) Link { return r.locate(n, n.Destination, n.Reference != nil) }

func (r *linkReader) locate(n ast.Node, destination []byte, elsewhere bool) Link {
	target, fragment, _ := strings.Cut(string(unescape(destination)), "#")
	if path, err := url.PathUnescape(target); err == nil {
		target = path
	}
	l := Link{Label: plain(n, r.text), Target: target, Fragment: fragment}
	start := max(n.Pos(), 0)
	// The target follows the label's last text; the library keeps no place
	// for it.
	from := start + 1
	for c := n.LastChild(); c != nil; c = c.LastChild() {
		if t, ok := c.(*ast.Text); ok {
			from = max(from, t.Segment.Stop)
		}
	}
	end := r.lineEnd(start)
	l.Place = r.place(start, min(from+1, end))
	l.TargetPlace = l.Place
	if from >= end || elsewhere {
		return l
	}
	at := bytes.Index(r.text[from:end], []byte("]("))
	if at < 0 {
		return l
	}
	at += from + 2
	i := bytes.Index(r.text[at:end], destination)
	if i < 0 {
		return l
	}
	at += i
	l.TargetPlace = r.place(at, at+len(destination))
	at += len(destination)
	if i := bytes.IndexByte(r.text[at:end], ')'); i >= 0 {
		end = at + i + 1
	}
	l.Place = r.place(start, end)
	if len(destination) == 0 {
		l.TargetPlace = l.Place
	}
	return l
}
