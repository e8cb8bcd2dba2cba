package main

import (
	"fmt"
	"strings"
)

// robin is a drawing in colours, as a drawing program saves one: filled shapes on top
// of each other, the later ones hiding parts of the earlier ones.
func robin() string {
	const straw, slate, madder, indigo, white = "#e3c16f", "#5b6b78", "#b5432f", "#1f2a49", "#ffffff"
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="148mm" height="105mm" viewBox="0 0 148 105">` + "\n")
	add := func(colour, element string) { fmt.Fprintf(&b, "  <%s fill=\"%s\"/>\n", element, colour) }
	path := func(colour, d string) { add(colour, `path d="`+d+`"`) }
	group := func(name string, draw func()) {
		fmt.Fprintf(&b, " <g id=%q>\n", name)
		draw()
		b.WriteString(" </g>\n")
	}
	group("sun", func() {
		add(straw, `circle cx="92" cy="46" r="29"`)
		for i := range 5 {
			x, y := 18+7*i, 30+9*i
			path(straw, fmt.Sprintf("M%d %dq9 -3.2 %d -0.6q-9 3.4 -%d 0.6z", x, y, 19-i, 19-i))
		}
	})
	group("bird", func() {
		// Tail and back, then the breast on them.
		path(slate, "M70 66C60 71 46 80 33 93L39 96C52 88 66 81 78 76Z")
		path(slate, "M66 70C60 52 70 33 88 27C101 22.5 113 29 114 40C115 52 110 64 98 71C88 77 73 78 66 70Z")
		path(madder, "M90 72C99 70 110 60 114.5 46C115.5 38 111 32.5 104.5 32.6C97.5 33 95.6 40 97 47C98.6 55 96.4 65 90 72Z")
		path(madder, "M61 86.6C61 84.4 62.6 82.6 64.8 82.6C67 82.6 68.6 84.4 68.6 86.6C68.6 88.8 67 90.4 64.8 90.4C62.6 90.4 61 88.8 61 86.6Z")
		path(madder, "M120 75.6C120 73.4 121.6 71.6 123.8 71.6C126 71.6 127.6 73.4 127.6 75.6C127.6 77.8 126 79.4 123.8 79.4C121.6 79.4 120 77.8 120 75.6Z")
		// The belly is bare paper, and so is the light in the eye.
		path(white, "M76 78.6C92 77.4 98 70 99.6 61C95 62 86 67 77 75.4Z")
	})
	group("twig", func() {
		path(indigo, "M24 86.5C52 84 82 81 112 78.4C122 77.4 131 73.8 138.6 69.4C132 76.8 123.4 80.6 112.4 81.8C82 85 53 87.6 24 88.5Z")
		path(indigo, "M84 75L86.4 82.2L88.4 82L86.2 74.6Z")
		path(indigo, "M91 73.6L93.8 81.4L95.8 81.2L93.2 72.8Z")
		path(indigo, "M112.6 33.6L123.6 36.4L113.8 40.2Z")
	})
	group("wing", func() {
		path(indigo, "M72 58C76 46 85 40 92 41C93 51 86 62 70.6 68.6C69.6 65 70.4 61.6 72 58Z")
		path(slate, "M76 59C79.4 52 84.4 47.6 88.6 46.4C88 53 83.4 59.4 75 63.4C74.8 61.8 75.2 60.4 76 59Z")
		add(indigo, `circle cx="105.6" cy="36.6" r="2.7"`)
		add(white, `circle cx="106.5" cy="35.7" r="0.85"`)
	})
	b.WriteString("</svg>\n")
	return b.String()
}
