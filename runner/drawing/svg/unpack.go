package svg

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"strings"

	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/sink"
)

var (
	gzipMark = []byte{0x1f, 0x8b}
	utf8Mark = []byte{0xEF, 0xBB, 0xBF}
)

// Unpack decompresses a file and converts it to UTF-8, or returns why it cannot. Places
// in the file are then those in the unpacked text.
func Unpack(f *source.File) (*source.File, *sink.Message) {
	data := f.Data
	if bytes.HasPrefix(data, gzipMark) {
		z, err := gzip.NewReader(bytes.NewReader(data))
		if err == nil {
			data, err = io.ReadAll(io.LimitReader(z, drawing.MaxBytes+1))
		}
		switch {
		case errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF):
			return nil, &sink.Message{Code: problem.CutOffDrawing, At: len(f.Data), End: len(f.Data),
				Fix: problem.Advise("save or copy the drawing again: its end was cut off"), Format: "the compressed file ends too early"}
		case err != nil:
			return nil, &sink.Message{Code: problem.DamagedDrawing, End: len(gzipMark),
				Fix: problem.Advise("save the drawing again"), Format: "the compressed file cannot be unpacked: %v", Args: []any{err}}
		case len(data) > drawing.MaxBytes:
			return nil, &sink.Message{Code: problem.TooLarge, End: len(gzipMark),
				Fix: problem.Advise("split the drawing, or simplify its curves"), Format: "the unpacked file has more than %d MB", Args: []any{drawing.MaxBytes >> 20}}
		}
	}
	data = toUTF8(data)
	if len(data) == len(f.Data) && bytes.Equal(data, f.Data) {
		return f, nil
	}
	return source.New(f.Name, data), nil
}

// toUTF8 converts text that declares another encoding to UTF-8.
func toUTF8(data []byte) []byte {
	if bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) {
		out, _, err := transform.Bytes(unicode.BOMOverride(unicode.UTF8.NewDecoder()), data)
		if err == nil {
			return out
		}
	}
	head, _, found := bytes.Cut(data[:min(len(data), 200)], []byte("?>"))
	_, name, named := strings.Cut(string(head), "encoding=")
	if !found || !named || len(name) < 2 {
		return data
	}
	name, _, _ = strings.Cut(name[1:], name[:1])
	if e, err := htmlindex.Get(name); err == nil {
		if canonical, _ := htmlindex.Name(e); canonical != "utf-8" && !strings.HasPrefix(canonical, "utf-16") {
			if out, err := e.NewDecoder().Bytes(data); err == nil {
				return out
			}
		}
	}
	return data
}
