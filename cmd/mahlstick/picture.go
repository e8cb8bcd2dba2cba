package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// pictureMark begins each picture that is asked for: only what begins with it
// is ever written over.
const pictureMark = "<!-- a picture by mahlstick, which may be written over -->\n"

// checkPicture refuses names under which nobody would look for a picture: they
// were most likely meant for something else.
func checkPicture(name string, things int, what string) error {
	if name != "" && (things > 1 || !strings.EqualFold(filepath.Ext(name), ".svg")) {
		return fmt.Errorf("--picture takes one %s and a file name that ends in .svg, not %q", what, name)
	}
	return nil
}

// writePicture writes a picture over an earlier one or where nothing is.
func writePicture(name string, draw func(io.Writer) error) error {
	there, err := os.ReadFile(name)
	switch {
	case err == nil && len(there) > 0 && !bytes.HasPrefix(there, []byte(pictureMark)):
		return fmt.Errorf("%s is there already and is no picture of this kind: give the picture another name, or move it away", name)
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s: %w", name, plainPath(err))
	}
	out := bytes.NewBufferString(pictureMark)
	if err := draw(out); err != nil {
		return err
	}
	if err := os.WriteFile(name, out.Bytes(), 0o644); err != nil {
		return fmt.Errorf("%s: %w", name, plainPath(err))
	}
	return nil
}
