package svg

import (
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing/svg/paint"
)

// property is a property that can move, hide or add ink.
type property struct {
	inherited bool   // what is inside an element has its value
	styleOnly bool   // there is no attribute of this name, or it is read on its own
	initial   string // the value that it has where nothing is stated; "" where a declaration of it changes nothing
	set       func(*setting)
}

// properties are all properties that can move, hide or add ink, those that are
// not honoured included: they warn.
var properties map[string]property

func init() {
	properties = map[string]property{
		"color":            {inherited: true, initial: "black", set: setColour},
		"display":          {initial: "inline", set: func(d *setting) { d.own.undisplayed = lower(d.value) == "none" }},
		"fill":             {inherited: true, initial: "black", set: func(d *setting) { setPaint(d, &d.s.fill) }},
		"fill-opacity":     {inherited: true, initial: "1", set: func(d *setting) { setShare(d, &d.s.fillOpacity) }},
		"fill-rule":        {inherited: true, initial: "nonzero", set: setFillRule},
		"opacity":          {initial: "1", set: func(d *setting) { setShare(d, &d.own.opacity) }},
		"stop-color":       {initial: "black", set: func(d *setting) { setPaint(d, &d.own.stopColour) }},
		"stop-opacity":     {initial: "1", set: func(d *setting) { setShare(d, &d.own.stopOpacity) }},
		"stroke":           {inherited: true, initial: "none", set: func(d *setting) { setPaint(d, &d.s.stroke) }},
		"stroke-dasharray": {inherited: true, initial: "none", set: func(d *setting) { d.s.dashed = d.value != "none" && strings.Trim(d.value, "0 ,") != "" }},
		"stroke-linecap":   {inherited: true, initial: "butt", set: func(d *setting) { setWord(d, &d.s.caps, "butt", "round", "square") }},
		"stroke-linejoin": {inherited: true, initial: "miter", set: func(d *setting) {
			setWord(d, &d.s.joins, "miter", "round", "bevel", "miter-clip", "arcs")
		}},
		"stroke-miterlimit": {inherited: true, initial: "4", set: setMiterLimit},
		"stroke-opacity":    {inherited: true, initial: "1", set: func(d *setting) { setShare(d, &d.s.strokeOpacity) }},
		"stroke-width":      {inherited: true, initial: "1px", set: setStrokeWidth},
		"vector-effect":     {initial: "none", set: setVectorEffect},
		"visibility":        {inherited: true, initial: "visible", set: func(d *setting) { d.s.hidden = d.value == "hidden" || d.value == "collapse" }},

		"transform":        {styleOnly: true, initial: "none", set: func(d *setting) { d.own.moves.transform = d.value }},
		"transform-box":    {initial: "view-box", set: func(d *setting) { d.own.moves.box = lower(d.value) }},
		"transform-origin": {initial: "0 0", set: func(d *setting) { d.own.moves.origin = lower(d.value) }},
		"translate":        {styleOnly: true, initial: "none", set: func(d *setting) { d.own.moves.translate = lower(d.value) }},
		"rotate":           {styleOnly: true, initial: "none", set: func(d *setting) { d.own.moves.rotate = lower(d.value) }},
		"scale":            {styleOnly: true, initial: "none", set: func(d *setting) { d.own.moves.scale = lower(d.value) }},

		"clip-path":  {initial: "none", set: setClipPath},
		"clip-rule":  {inherited: true, initial: "nonzero", set: setClipRule},
		"overflow":   {set: func(d *setting) { d.own.overflowing = d.value == "visible" || d.value == "auto" }},
		"overflow-x": {set: func(d *setting) { d.own.overflowing = d.value == "visible" }, styleOnly: true},
		"mask":       {set: warnUnlessNone(problem.ClippedShape, "this element is cut off by a mask, which is not applied: its shapes are read whole", "cut the shapes in the drawing program if what is cut off should not be painted")},
		"mask-image": {set: warnUnlessNone(problem.ClippedShape, "this element is cut off by a mask, which is not applied: its shapes are read whole", "cut the shapes in the drawing program if what is cut off should not be painted"), styleOnly: true},
		"clip":       {set: warnUnlessNone(problem.ClippedShape, "this element is cut off by the property clip, which is not applied", "cut the shapes in the drawing program if what is cut off should not be painted")},
		"filter":     {set: warnUnlessNone(problem.UnreadStyle, "a filter changes how this element looks; it is read as it is without", "take the filter off, or draw what it shows as shapes")},

		"marker":       {inherited: true, styleOnly: true, initial: "none", set: func(d *setting) { setMarkers(d, 0, 1, 2) }},
		"marker-start": {inherited: true, initial: "none", set: func(d *setting) { setMarkers(d, 0) }},
		"marker-mid":   {inherited: true, initial: "none", set: func(d *setting) { setMarkers(d, 1) }},
		"marker-end":   {inherited: true, initial: "none", set: func(d *setting) { setMarkers(d, 2) }},
	}
	for _, name := range []string{"x", "y", "width", "height", "cx", "cy", "r", "rx", "ry", "d"} {
		properties[name] = property{styleOnly: true, set: setGeometry}
	}
	for name, what := range map[string]string{
		"all": "resets all properties", "mix-blend-mode": "mixes the colours of what lies on each other", "mask-border": "cuts it off", "mask-border-source": "cuts it off",
		"animation": "moves it", "animation-name": "moves it", "perspective": "moves it", "zoom": "changes its size",
		"offset": "moves it", "offset-path": "moves it", "offset-distance": "moves it", "offset-position": "moves it",
		"shape-inside": "moves it", "shape-subtract": "cuts it off", "content-visibility": "may hide it",
	} {
		properties[name] = property{styleOnly: true, set: warnUnlessNone(problem.UnreadStyle,
			"the property "+name+" of this element "+what+", which is not applied", "save the drawing as plain SVG")}
	}
}

func matters(name string) bool {
	_, ok := properties[name]
	return ok
}

func lower(s string) string { return strings.ToLower(s) }

// computed says whether a value holds a function whose result is not known here.
func computed(value string) bool {
	for _, name := range []string{"var(", "calc(", "env(", "attr(", "min(", "max(", "clamp(", "color-mix(", "light-dark(", "if("} {
		if strings.Contains(value, name) {
			return true
		}
	}
	return false
}

// warnUnlessNone warns of a property that is not applied, unless its value says
// that there is nothing to apply.
func warnUnlessNone(code problem.Code, message, advice string) func(*setting) {
	return func(d *setting) {
		switch lower(d.value) {
		case "none", "auto", "normal", "visible", "1", "100%":
			return
		}
		d.w.report.warnOnce(d.n, code, d.name, problem.Advise(advice), "%s", message)
	}
}

// setPaint takes a value of fill, stroke or stop-color; one that is none is left
// out.
func setPaint(d *setting, to *paint.Paint) {
	if p, ok := paint.Parse(d.value); ok {
		*to = p
	} else {
		d.invalid()
	}
}

func setColour(d *setting) {
	if c, ok := paint.ParseColour(d.value); ok {
		d.s.colour = c
	}
}

// invalid warns of a value that is none and therefore left out.
func (d *setting) invalid() {
	d.w.report.warnOnce(d.n, problem.UnreadStyle, d.name, problem.Advise("correct or delete it"), "%q is no value of %s, and is left out", clip(d.value), d.name)
}

// setShare takes an opacity.
func setShare(d *setting, to *float64) {
	l, ok := parseLength(d.value)
	if !ok || l.unit != "" && !l.percent {
		d.invalid()
		return
	}
	*to = min(max(l.px(1), 0), 1)
}

func setWord(d *setting, to *string, words ...string) {
	for _, w := range words {
		if d.value == w {
			*to = w
			return
		}
	}
	d.invalid()
}

func setMiterLimit(d *setting) {
	l, ok := parseLength(d.value)
	if !ok || l.unit != "" || l.percent || l.value < 1 {
		d.invalid()
		return
	}
	d.s.miterLimit = l.value
}

func setFillRule(d *setting) {
	switch d.value {
	case "evenodd":
		d.s.rule = contour.EvenOdd
	case "nonzero":
		d.s.rule = contour.NonZero
	default:
		d.invalid()
	}
}

func setClipRule(d *setting) {
	d.s.clipRule = contour.NonZero
	if lower(d.value) == "evenodd" {
		d.s.clipRule = contour.EvenOdd
	}
}

func setStrokeWidth(d *setting) {
	l, ok := parseLength(d.value)
	if !ok || l.value < 0 {
		d.w.report.failAttr(d.n, "stroke-width", problem.Advise("write a length such as 0.5mm"), "%q is no width of a stroke", clip(d.value))
		d.own.fault = "its stroke has no readable width"
		return
	}
	d.s.strokeWidth = l
}

func setVectorEffect(d *setting) {
	for _, word := range strings.Fields(lower(d.value)) {
		switch word {
		case "non-scaling-stroke":
			d.own.notScaled = true
		case "none", "viewport", "screen":
		default:
			d.w.report.warnOnce(d.n, problem.UnreadStyle, d.name, problem.Advise("let the element follow the drawing's scale"),
				"the vector effect %q of this element is not applied", clip(word))
		}
	}
}

func setMarkers(d *setting, which ...int) {
	p, ok := paint.Parse(d.value)
	if !ok {
		d.invalid()
		return
	}
	for _, i := range which {
		d.s.markers[i] = p.Server
	}
}

func setGeometry(d *setting) {
	if d.own.geometry == nil {
		d.own.geometry = map[string]string{}
	}
	d.own.geometry[d.name] = d.value
}

func setClipPath(d *setting) {
	p, ok := paint.Parse(d.value)
	switch {
	case lower(d.value) == "none":
		d.own.clipPath = ""
	case ok && p.Server != "":
		d.own.clipPath = p.Server
	default:
		warnClipped(d.w, d.n, "a clip-path")
	}
}

// warnClipped warns of what cuts an element off and is not applied.
func warnClipped(w *walker, n *node, by string) {
	w.report.warnOnce(n, problem.ClippedShape, "", problem.Advise("cut the shapes in the drawing program if what is cut off should not be painted"),
		"this element is cut off by %s, which is not applied: its shapes are read whole", by)
}
