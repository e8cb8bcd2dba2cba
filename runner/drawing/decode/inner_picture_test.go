package decode_test

import (
	"testing"

	"mahlstick/runner/drawing"
)

// Where a style sheet sets the size or place of an inner picture, renderers do
// not agree, and a warning says so; attributes are read in silence.
func TestStyledInnerPictures(t *testing.T) {
	shape := `<path d="M0 0h4v4h-4z"/>`
	for _, content := range []string{
		`<svg style="width:20px" height="20">` + shape + `</svg>`,
		`<style>svg svg { x: 5px }</style><svg width="20" height="20">` + shape + `</svg>`,
		`<symbol id="s">` + shape + `</symbol><use href="#s" style="height:9px"/>`,
	} {
		wantCodes(t, page(content), drawing.Options{}, "unread-style")
	}
	wantCodes(t, page(`<svg x="5" width="20" height="20">`+shape+`</svg><symbol id="s">`+shape+`</symbol><use href="#s" width="9" height="9"/>`), drawing.Options{})
}
