// Package record keeps what a run read, worked out and wrote, and puts a
// result on the disk as a whole or not at all.
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

// RecordName is the record's file in a job's folder.
const RecordName = "record.json"

// Engine numbers the way in which programs are made. It rises with every
// change that alters a byte of any program, and CHANGELOG.md tells why.
const Engine = 4

// Version names this mahlstick. A record states it, so that it is known with
// which one its programs can be made again; so its middle number is the engine.
const Version = "0.4.0"

// Record is one run: no clock, no host, no path outside the studio.
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
	Checks     []Check     `json:"checks"`
}

// Impression is what makes a run a signed one.
type Impression struct {
	Number  int `json:"number"`       // from 1
	Edition int `json:"of,omitempty"` // 0 where no edition is stated
	// Despite is the reason why it was signed although something spoke
	// against it; Because is what that was.
	Despite string   `json:"despite,omitempty"`
	Because []string `json:"because,omitempty"`
}

// String is the number as it stands on a sheet: "3/10", or "3" where no
// edition is stated.
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

// InText is the name of values that stand in the page's text alone. Prose and
// what is written under Results may hold such; no program depends on them.
const InText = "in the text"

// Check is a rule that a program was held against.
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

// JSON writes the record with its keys in a fixed order and one fact a line,
// so that version control shows what changed. The last line is the seal: the
// hash of all that stands before it.
func (r *Record) JSON() []byte {
	var out bytes.Buffer
	out.WriteString("{\n")
	field := func(name string, v any) {
		fmt.Fprintf(&out, "%q: %s,\n", name, one(v))
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
	list(&out, "checks", r.Checks, ",")
	return append(out.Bytes(), seal(out.Bytes())...)
}

// seal is the end of a record that begins with the text.
func seal(text []byte) string { return fmt.Sprintf("\"seal\": %q\n}\n", Hash(text)) }

// Sealed says whether a record stands as it was written: its seal is that of
// the text before it.
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
		out.WriteString("\n  " + one(item))
	}
	if len(items) > 0 {
		out.WriteByte('\n')
	}
	out.WriteString("]" + end + "\n")
}

// one writes a value on one line.
func one(v any) string {
	var line bytes.Buffer
	e := json.NewEncoder(&line)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		// Only strings, numbers and truth values come here.
		panic(err)
	}
	return string(bytes.TrimSpace(line.Bytes()))
}

// Parse reads a record back. A field that it does not know is an error: the
// record is of a newer mahlstick, or not ours. Whether the record is as it was
// written is for Sealed to say.
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
			err = errors.New("something stands behind it")
		}
	}
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", RecordName, err)
	}
	return &r.Record, nil
}

// MaxBytes bounds a record that is read.
const MaxBytes = 64 << 20
