package main

import (
	"io"
	"strings"
	"unicode/utf8"

	"mahlstick/recipe/problem"
)

// sanitizingWriter makes control characters harmless: a title or a file's name
// by somebody else must not control the reader's terminal.
type sanitizingWriter struct {
	to   io.Writer
	part []byte // the beginning of a character that is not complete yet
}

// Write writes the text without the last character where its end is missing.
func (s *sanitizingWriter) Write(p []byte) (int, error) {
	text := append(s.part, p...)
	whole := len(text)
	for n := 1; n < utf8.UTFMax && n <= len(text); n++ {
		if at := len(text) - n; utf8.RuneStart(text[at]) {
			if !utf8.FullRune(text[at:]) {
				whole = at
			}
			break
		}
	}
	s.part = append([]byte(nil), text[whole:]...)
	if err := s.pass(string(text[:whole])); err != nil {
		return 0, err
	}
	return len(p), nil
}

// flush writes what was held back.
func (s *sanitizingWriter) flush() {
	_ = s.pass(string(s.part))
	s.part = nil
}

func (s *sanitizingWriter) pass(text string) error {
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		lines[i] = problem.Sanitize(line)
	}
	_, err := io.WriteString(s.to, strings.Join(lines, "\n"))
	return err
}
