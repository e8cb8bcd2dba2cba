package colour_test

import (
	"fmt"
	"testing"

	"mahlstick/recipe/colour"
)

// Source: CSS Color Module Level 4, section 6.1 (names) and section 5.2 (#rgb);
// from memory.
func TestParse(t *testing.T) {
	for text, want := range map[string]string{
		"#d9b263": "#d9b263", "#D9B263": "#d9b263", " #fc0 ": "#ffcc00", "tan": "#d2b48c", "Tomato": "#ff6347", "grey": "#808080", "gray": "#808080",
		"rebeccapurple": "#663399", "white": "#ffffff", "black": "#000000", "lightgoldenrodyellow": "#fafad2", "green": "#008000", "lime": "#00ff00",
	} {
		if got, ok := colour.Parse(text); !ok || got.String() != want {
			t.Errorf("%q: %v, %v, want %s", text, got, ok, want)
		}
	}
	for _, text := range []string{"", "#", "#12", "#1234", "#12345g", "#1234567", "ochre", "none", "d9b263"} {
		if got, ok := colour.Parse(text); ok {
			t.Errorf("%q was read as %v", text, got)
		}
	}
}

func TestNearest(t *testing.T) {
	list := []colour.RGB{{R: 255}, {G: 255}, {R: 250, G: 10}}
	if got, _ := colour.Nearest(colour.RGB{R: 249, G: 9}, list); got != list[2] {
		t.Errorf("nearest is %v", got)
	}
	if _, ok := colour.Nearest(colour.White, nil); ok {
		t.Error("an empty list has a nearest colour")
	}
	for _, name := range colour.Names() {
		c, _ := colour.Named(name)
		again, _ := colour.Named(colour.NameOf(c))
		if again != c {
			t.Errorf("%s is called %s", name, colour.NameOf(c))
		}
	}
}

func ExampleParse() {
	moss, _ := colour.Parse("olivedrab")
	fmt.Println(moss, moss.Lightness() < colour.White.Lightness())
	// Output: #6b8e23 true
}
