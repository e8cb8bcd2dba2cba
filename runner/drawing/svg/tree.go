package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing/sink"
)

// Limits on SVG files. They count work and not time, so that every computer refuses the
// same files.
const (
	maxElements = 500_000 // elements of a file
	maxAttrs    = 10_000  // attributes of an element
	maxNesting  = 256     // elements inside elements, copies included
	maxEntity   = 1_000   // bytes of an entity's text
	maxText     = 4 << 20 // bytes of a style sheet or a title
)

// document holds the elements of a file. Node 0 is the root.
type document struct {
	file  *source.File
	nodes []node
	byID  map[string]int32
	rules ruleIndex
}

// node is an element of the file.
type node struct {
	kind       string // local name; "" for elements of other vocabularies
	attrs      []attr
	kids       []int32
	parent     int32         // -1 for the root
	text       []byte        // of style, title
	name       string        // of a group: its title, else its identifier
	start, end int32         // bytes of the start tag
	asked      bool          // it is wanted in the picture
	paint      contour.Paint // that messages are about
}

type attr struct{ name, value string }

// attr is an attribute without spaces around it, or "".
func (n *node) attr(name string) string { return strings.TrimSpace(n.rawAttr(name)) }

// rawAttr is an attribute as written, so that offsets in it are those in the file.
func (n *node) rawAttr(name string) string {
	for i := range n.attrs {
		if n.attrs[i].name == name {
			return n.attrs[i].value
		}
	}
	return ""
}

const (
	svgSpace   = "http://www.w3.org/2000/svg"
	xlinkSpace = "http://www.w3.org/1999/xlink"
)

// parse reads the elements of a file. It reports a damaged file and returns nil.
func parse(f *source.File, out sink.Sink) *document {
	p := &parser{file: f, out: out}
	if !p.checkAttributeCount() || !p.elements() {
		return nil
	}
	doc := &document{file: f, nodes: p.nodes, byID: map[string]int32{}}
	doc.rules.notUnderstood = p.outside
	for i := range doc.nodes {
		n := &doc.nodes[i]
		if id := n.attr("id"); id != "" {
			if _, ok := doc.byID[id]; !ok {
				doc.byID[id] = int32(i)
			}
		}
		switch n.kind {
		case "style":
			doc.rules.addElement(n)
		case "g":
			n.name = doc.nameOf(n)
		}
	}
	return doc
}

// nameOf is the name of an element: its title, else its identifier.
func (d *document) nameOf(n *node) string {
	for _, k := range n.kids {
		if kid := &d.nodes[k]; kid.kind == "title" {
			if title := strings.Join(strings.Fields(string(kid.text)), " "); title != "" {
				return title
			}
		}
	}
	return n.attr("id")
}

// parser reads the elements of a file.
type parser struct {
	file    *source.File
	out     sink.Sink
	nodes   []node
	open    []int32
	outside bool // a style sheet in another file is named
	stopped bool
}

func (p *parser) stop(code problem.Code, at, end int, advice, format string, args ...any) {
	p.stopped = true
	p.out.Say(sink.Message{Code: code, At: at, End: end, Fix: problem.Advise(advice), Format: format, Args: args, Stop: true})
}

func (p *parser) elements() bool {
	d := xml.NewDecoder(bytes.NewReader(p.file.Data))
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil } // decoded already
	for !p.stopped {
		at := int(d.InputOffset())
		token, err := d.Token()
		end := int(d.InputOffset())
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			p.reportDamage(err, at, end)
			return false
		}
		switch token := token.(type) {
		case xml.Directive:
			p.declareEntities(d, token, at, end)
		case xml.ProcInst:
			p.outside = p.outside || token.Target == "xml-stylesheet"
		case xml.StartElement:
			p.startElement(token, at, end)
		case xml.EndElement:
			p.open = p.open[:len(p.open)-1]
		case xml.CharData:
			p.text(token)
		}
	}
	if !p.stopped && (len(p.nodes) == 0 || p.nodes[0].kind != "svg") {
		what := "nothing"
		if len(p.nodes) > 0 {
			what = "<" + p.nodes[0].kind + ">"
		}
		p.stop(problem.NotADrawing, 0, min(len(p.file.Data), 1), "save the drawing as DXF or SVG", "this XML file holds %s, not <svg>", what)
	}
	return !p.stopped
}

func (p *parser) startElement(token xml.StartElement, at, end int) {
	if len(p.nodes) >= maxElements || len(p.open) >= maxNesting {
		p.stop(problem.TooLarge, at, end, "split the drawing, or take groups apart",
			"the drawing has more than %d elements, or elements nested more than %d deep", maxElements, maxNesting)
		return
	}
	n := node{kind: token.Name.Local, start: int32(at), end: int32(end), parent: -1}
	if token.Name.Space != svgSpace && token.Name.Space != "" {
		n.kind = ""
	}
	for _, a := range token.Attr {
		if a.Name.Space == "" {
			n.attrs = append(n.attrs, attr{a.Name.Local, a.Value})
		}
	}
	for _, a := range token.Attr { // an href without a prefix comes first, so that it counts
		if a.Name.Space == xlinkSpace && a.Name.Local == "href" {
			n.attrs = append(n.attrs, attr{a.Name.Local, a.Value})
		}
	}
	if len(p.open) > 0 {
		n.parent = p.open[len(p.open)-1]
		parent := &p.nodes[n.parent]
		parent.kids = append(parent.kids, int32(len(p.nodes)))
	}
	p.open = append(p.open, int32(len(p.nodes)))
	p.nodes = append(p.nodes, n)
}

func (p *parser) text(data []byte) {
	if len(p.open) == 0 {
		return
	}
	if n := &p.nodes[p.open[len(p.open)-1]]; (n.kind == "style" || n.kind == "title") && len(n.text)+len(data) <= maxText {
		n.text = append(n.text, data...)
	}
}

// checkAttributeCount refuses elements with very many attributes: the XML decoder would
// keep all of them in memory before it returns the element.
func (p *parser) checkAttributeCount() bool {
	attrs, at := 0, 0
	data := p.file.Data
	for i, b := range data {
		switch {
		case b == '<':
			attrs, at = 0, i
		case b == '=' && i+1 < len(data) && (data[i+1] == '"' || data[i+1] == '\''):
			if attrs++; attrs > maxAttrs {
				p.stop(problem.TooLarge, at, at+1, "save the drawing as plain SVG", "this element has more than %d attributes", maxAttrs)
				return false
			}
		}
	}
	return true
}

// reportDamage reports an error of the XML decoder.
func (p *parser) reportDamage(err error, at, end int) {
	message := err.Error()
	var syntax *xml.SyntaxError
	if errors.As(err, &syntax) {
		message = syntax.Msg
	}
	size := len(p.file.Data)
	if strings.Contains(message, "unexpected EOF") {
		p.stop(problem.CutOffDrawing, size, size, "save or copy the drawing again: its end was cut off", "the file ends inside an element")
		return
	}
	end = min(max(end, at), size)
	p.stop(problem.DamagedDrawing, max(at, min(end-1, size)), end, "save the drawing again as SVG: this file is damaged", "%s", message)
}

// An entity with its text in the file itself.
var entityDeclaration = regexp.MustCompile(`<!ENTITY\s+([\p{L}_][\p{L}\p{N}_.-]*)\s+(?:"([^"]*)"|'([^']*)')\s*>`)

// declareEntities reads the entities that a document type declares with their text, as
// some programs do for namespaces. Entities that contain entities, or refer to other
// files, are not accepted: a drawing does not need them, and they can make it huge.
func (p *parser) declareEntities(d *xml.Decoder, directive xml.Directive, at, end int) {
	if !bytes.HasPrefix(directive, []byte("DOCTYPE")) {
		return
	}
	for _, m := range entityDeclaration.FindAllSubmatch(directive, -1) {
		text := string(m[2]) + string(m[3])
		if strings.ContainsAny(text, "&<%") || len(text) > maxEntity {
			p.stop(problem.DamagedDrawing, at, end, "save the drawing as plain SVG",
				"the entity %s contains other entities or very much text, which a drawing does not need", m[1])
			return
		}
		if d.Entity == nil {
			d.Entity = map[string]string{}
		}
		d.Entity[string(m[1])] = text
	}
}

// attrPlace is the place of an attribute's value in the file: of its part from byte from
// to byte to if the file holds the value without escapes, otherwise of all of it.
func (d *document) attrPlace(n *node, name string, from, to int) (at, end int) {
	data := d.file.Data[n.start:n.end]
	value := ""
	for _, a := range n.attrs {
		if a.name == name {
			value = a.value
		}
	}
	for p := 0; p < len(data); {
		i := bytes.Index(data[p:], []byte(name))
		if i < 0 {
			break
		}
		i += p
		p = i + len(name)
		q := p
		for q < len(data) && data[q] <= ' ' {
			q++
		}
		if q >= len(data) || data[q] != '=' || i > 0 && data[i-1] > ' ' && data[i-1] != ':' {
			continue
		}
		for q++; q < len(data) && data[q] <= ' '; {
			q++
		}
		if q >= len(data) || data[q] != '"' && data[q] != '\'' {
			continue
		}
		length := bytes.IndexByte(data[q+1:], data[q])
		if length < 0 {
			break
		}
		at = int(n.start) + q + 1
		if string(data[q+1:q+1+length]) == value && to <= length {
			return at + from, at + to
		}
		return at, at + length
	}
	return int(n.start), int(n.end)
}
