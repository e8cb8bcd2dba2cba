// Package record has the record of a run, with its inputs, values and outputs,
// and writes a result to the disk, all of it or nothing.
package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
)

// RecordName is the file name of the record in a job's folder.
const RecordName = "record.json"

// Engine numbers the way in which programs are made. Every change that alters a
// byte of any program raises it, and CHANGELOG.md explains the change.
const Engine = 9

// Version is the version of this program. It is in each record, so that you know
// which version makes the same programs again; its middle number is the engine.
const Version = "0.9.0"

// Record is one run, without a time, a host or a path outside the studio.
type Record struct {
	Engine  int    `json:"engine"`
	Version string `json:"version"`
	Job     string `json:"job"`
	Title   string `json:"title"`
	Recipe  string `json:"recipe"`
	// Impression is set in the record of a signed impression.
	Impression *Impression `json:"impression,omitempty"`
	Inputs     []File      `json:"inputs"`
	Values     []Value     `json:"values"`
	Outputs    []File      `json:"outputs"`
	Programs   []Program   `json:"programs,omitempty"` // of the layers; records of old versions have none
	Checks     []Check     `json:"checks"`
}

// Impression is the number and the circumstances of a signed run.
type Impression struct {
	Number  int `json:"number"`       // from 1
	Edition int `json:"of,omitempty"` // 0 if no edition is stated
	// Because lists what was out of date, changed by hand or broke a rule when
	// it was signed; Despite is the reason given for signing all the same. Files
	// that were changed by hand need none.
	Despite string   `json:"despite,omitempty"`
	Because []string `json:"because,omitempty"`
	// Resumed names the programs by which parts of layers were painted, besides
	// those of whole layers.
	Resumed []string `json:"resumed,omitempty"`
}

// String is the number as it is written on a sheet: "3/10", or "3" without an
// edition.
func (i *Impression) String() string {
	switch {
	case i == nil:
		return ""
	case i.Edition > 0:
		return fmt.Sprintf("%d/%d", i.Number, i.Edition)
	}
	return strconv.Itoa(i.Number)
}

// File is a file with its size in bytes and its SHA-256 in hex.
type File struct {
	Name   string `json:"name"`
	Size   int    `json:"size"`
	SHA256 string `json:"sha256"`
}

// Value is an evaluated value: a row of the recipe or a formula.
type Value struct {
	Name    string `json:"name"`
	Formula string `json:"formula,omitempty"`
	Value   string `json:"value"`
	Default bool   `json:"default,omitempty"`
}

// Program is what the program of a layer does, as it was read back.
type Program struct {
	File       string `json:"file"`
	Strokes    int    `json:"strokes"`
	CheckMarks int    `json:"check_marks,omitempty"`
	// RegisterMarks is the number of painted ones.
	RegisterMarks int     `json:"register_marks,omitempty"`
	Length        float64 `json:"mm"`      // of all marks
	Seconds       float64 `json:"seconds"` // rapids included, pauses not
	// OnSheet has the marks of each stroke on the sheet as eight hexadecimal
	// digits, in the order of painting: a resumed program may follow only on the
	// same strokes. Records of old versions have none.
	OnSheet string `json:"on_sheet,omitempty"`
}

// InText is the name of values that are only in the page's text, in prose or
// under Results. No program depends on them.
const InText = "in the text"

// Check is a rule that a program was checked for.
type Check struct {
	Program string `json:"program"`
	Rule    string `json:"rule"`
	OK      bool   `json:"ok"`
	Found   string `json:"found"`
	Allowed string `json:"allowed"`
}

// Hash is the SHA-256 of data in hex (FIPS 180-4).
func Hash(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// NewFile describes a file.
func NewFile(name string, data []byte) File { return File{name, len(data), Hash(data)} }

// JSON is the record with its keys in a fixed order and one entry on each line, so
// that version control shows what changed. The last line is the seal: the hash of
// all lines before it.
func (r *Record) JSON() []byte {
	var out bytes.Buffer
	out.WriteString("{\n")
	field := func(name string, v any) {
		fmt.Fprintf(&out, "%q: %s,\n", name, oneLine(v))
	}
	field("engine", r.Engine)
	field("version", r.Version)
	field("job", r.Job)
	field("title", r.Title)
	field("recipe", r.Recipe)
	if r.Impression != nil {
		field("impression", r.Impression)
	}
	list(&out, "inputs", r.Inputs, ",")
	list(&out, "values", r.Values, ",")
	list(&out, "outputs", r.Outputs, ",")
	if len(r.Programs) > 0 {
		list(&out, "programs", r.Programs, ",")
	}
	list(&out, "checks", r.Checks, ",")
	return append(out.Bytes(), seal(out.Bytes())...)
}

// seal is the last line of a record whose other lines are the text.
func seal(text []byte) string { return fmt.Sprintf("\"seal\": %q\n}\n", Hash(text)) }

// Sealed reports whether a record is unchanged since it was written: its seal is
// the hash of the text before it.
func Sealed(data []byte) bool {
	at := len(data) - len(seal(nil))
	return at >= 0 && string(data[at:]) == seal(data[:at])
}

func list[T any](out *bytes.Buffer, name string, items []T, end string) {
	fmt.Fprintf(out, "%q: [", name)
	for i, item := range items {
		if i > 0 {
			out.WriteByte(',')
		}
		out.WriteString("\n  " + oneLine(item))
	}
	if len(items) > 0 {
		out.WriteByte('\n')
	}
	out.WriteString("]" + end + "\n")
}

// oneLine writes a value on one line.
func oneLine(v any) string {
	var line bytes.Buffer
	e := json.NewEncoder(&line)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		// Only strings, numbers and truth values come here.
		panic(err)
	}
	return string(bytes.TrimSpace(line.Bytes()))
}

// Parse reads a record. An unknown field is an error: a newer version or another
// program wrote the record. The seal is not checked.
func Parse(data []byte) (*Record, error) {
	if len(data) > MaxBytes {
		return nil, fmt.Errorf("%s cannot be read: it has more than %d MB", RecordName, MaxBytes>>20)
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	var r struct {
		Record
		Seal string `json:"seal"`
	}
	err := d.Decode(&r)
	if err == nil {
		if _, end := d.Token(); end != io.EOF {
			err = errors.New("there is more text after its end")
		}
	}
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", RecordName, err)
	}
	return &r.Record, nil
}

// MaxBytes bounds a record that is read.
const MaxBytes = 64 << 20
