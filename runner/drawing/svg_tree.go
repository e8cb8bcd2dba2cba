package drawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"

	"mahlstick/recipe/problem"
)

// Bounds on SVG files, counted like all bounds in work.
const (
	maxElements = 500_000   // elements of a file
	maxAttrs    = 10_000    // attributes of an element
	maxRules    = 20_000    // rules of style sheets
	maxMatches  = 3_000_000 // rules looked at for all elements
	maxVisits   = 1_000_000 // elements drawn, copies included, large ones counted several times
	visitBytes  = 128       // bytes of a tag that count as a further element
	maxNesting  = 256       // elements inside elements, copies included
	maxEntity   = 1_000     // bytes of an entity's text
	maxText     = 4 << 20   // bytes of a style sheet or a title
)

// svgNode is an element of the file.
type svgNode struct {
	kind       string // local name; "" for elements of other vocabularies
	attrs      []svgAttr
	kids       []int32
	text       []byte // of style, title
	name       string // of a group: its title, else its identifier
	start, end int32  // bytes of the start tag
}

type svgAttr struct{ name, value string }

// attr gives an attribute without blanks around it, or "".
func (n *svgNode) attr(name string) string {
	for i := range n.attrs {
		if n.attrs[i].name == name {
			return strings.TrimSpace(n.attrs[i].value)
		}
	}
	return ""
}

const (
	svgSpace   = "http://www.w3.org/2000/svg"
	xlinkSpace = "http://www.w3.org/1999/xlink"
)

// svgTree reads the elements of a file. Node 0 is the root. It answers nil
// where the file is damaged, after reporting it.
func (r *reading) svgTree() []svgNode {
	if !r.fewAttributes() {
		return nil
	}
	d := xml.NewDecoder(bytes.NewReader(r.file.Data))
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil } // decoded already
	var nodes []svgNode
	var open []int32
	for {
		at := int(d.InputOffset())
		token, err := d.Token()
		end := int(d.InputOffset())
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			r.xmlProblem(err, at, end)
			return nil
		}
		switch token := token.(type) {
		case xml.Directive:
			r.declareEntities(d, token, at, end)
		case xml.StartElement:
			if len(nodes) >= maxElements || len(open) >= maxNesting {
				r.stop(problem.TooLarge, at, end, problem.Advise("split the drawing, or take groups apart"),
					"the drawing has more than %d elements, or elements nested more than %d deep", maxElements, maxNesting)
			}
			n := svgNode{kind: token.Name.Local, start: int32(at), end: int32(end)}
			if token.Name.Space != svgSpace && token.Name.Space != "" {
				n.kind = ""
			}
			for _, a := range token.Attr {
				if a.Name.Space == "" || a.Name.Space == xlinkSpace && a.Name.Local == "href" {
					n.attrs = append(n.attrs, svgAttr{a.Name.Local, a.Value})
				}
			}
			if len(open) > 0 {
				parent := &nodes[open[len(open)-1]]
				parent.kids = append(parent.kids, int32(len(nodes)))
			}
			open = append(open, int32(len(nodes)))
			nodes = append(nodes, n)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				if n := &nodes[open[len(open)-1]]; (n.kind == "style" || n.kind == "title") && len(n.text)+len(token) <= maxText {
					n.text = append(n.text, token...)
				}
			}
		}
		if r.stopped {
			return nil
		}
	}
	if len(nodes) == 0 || nodes[0].kind != "svg" {
		what := "nothing"
		if len(nodes) > 0 {
			what = "<" + nodes[0].kind + ">"
		}
		r.stop(problem.NotADrawing, 0, min(len(r.file.Data), 1), problem.Advise("save the drawing as DXF or SVG"), "this XML file holds %s, not <svg>", what)
		return nil
	}
	return nodes
}

// fewAttributes refuses elements with very many attributes, which the decoder
// would all lay out in memory before it hands an element over.
func (r *reading) fewAttributes() bool {
	attrs, at := 0, 0
	data := r.file.Data
	for i, b := range data {
		switch {
		case b == '<':
			attrs, at = 0, i
		case b == '=' && i+1 < len(data) && (data[i+1] == '"' || data[i+1] == '\''):
			if attrs++; attrs > maxAttrs {
				r.stop(problem.TooLarge, at, at+1, problem.Advise("save the drawing as plain SVG"), "this element has more than %d attributes", maxAttrs)
				return false
			}
		}
	}
	return true
}

// xmlProblem reports what the decoder found wrong.
func (r *reading) xmlProblem(err error, at, end int) {
	message := err.Error()
	var syntax *xml.SyntaxError
	if errors.As(err, &syntax) {
		message = syntax.Msg
	}
	size := len(r.file.Data)
	if strings.Contains(message, "unexpected EOF") {
		r.stop(problem.CutOffDrawing, size, size, problem.Advise("save or copy the drawing again: its end was cut off"),
			"the file ends inside an element")
		return
	}
	end = min(max(end, at), size)
	r.stop(problem.DamagedDrawing, max(at, min(end-1, size)), end, problem.Advise("save the drawing again as SVG: this file is damaged"), "%s", message)
}

// An entity with its text in the file itself.
var entityDeclaration = regexp.MustCompile(`<!ENTITY\s+([\p{L}_][\p{L}\p{N}_.-]*)\s+(?:"([^"]*)"|'([^']*)')\s*>`)

// declareEntities takes the entities that a document type declares with their text,
// as some programs do for names of vocabularies. Entities that stand for
// entities, or for other files, are not taken: neither is needed in a
// drawing, and both can blow it up.
func (r *reading) declareEntities(d *xml.Decoder, directive xml.Directive, at, end int) {
	if !bytes.HasPrefix(directive, []byte("DOCTYPE")) {
		return
	}
	for _, m := range entityDeclaration.FindAllSubmatch(directive, -1) {
		text := string(m[2]) + string(m[3])
		if strings.ContainsAny(text, "&<%") || len(text) > maxEntity {
			r.stop(problem.DamagedDrawing, at, end, problem.Advise("save the drawing as plain SVG"),
				"the entity %s stands for other entities or for very much text, which a drawing does not need", m[1])
			return
		}
		if d.Entity == nil {
			d.Entity = map[string]string{}
		}
		d.Entity[string(m[1])] = text
	}
}

// attrPlace is the place of an attribute's value in the file: of all of it,
// or of the part from byte from up to byte to where the value stands there as
// it is.
func (r *reading) attrPlace(n *svgNode, name string, from, to int) (at, end int) {
	data := r.file.Data[n.start:n.end]
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
