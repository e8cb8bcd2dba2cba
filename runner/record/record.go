// Package record keeps what a run read, worked out and wrote, and puts a
// result on the disk as a whole or not at all.
package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
)

// RecordName is the record's file in a job's folder.
const RecordName = "record.json"

// Engine numbers the way in which programs are made. It rises with every
// change that alters a byte of any program, and CHANGELOG.md tells why.
const Engine = 1

// Record is one run: no clock, no host, no path outside the studio.
type Record struct {
	Engine  int     `json:"engine"`
	Job     string  `json:"job"`
	Title   string  `json:"title"`
	Recipe  string  `json:"recipe"`
	Inputs  []File  `json:"inputs"`
	Values  []Value `json:"values"`
	Outputs []File  `json:"outputs"`
	Checks  []Check `json:"checks"`
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
// so that version control shows what changed.
func (r *Record) JSON() []byte {
	var out bytes.Buffer
	out.WriteString("{\n")
	field := func(name string, v any) {
		fmt.Fprintf(&out, "%q: %s,\n", name, one(v))
	}
	field("engine", r.Engine)
	field("job", r.Job)
	field("title", r.Title)
	field("recipe", r.Recipe)
	list(&out, "inputs", r.Inputs, ",")
	list(&out, "values", r.Values, ",")
	list(&out, "outputs", r.Outputs, ",")
	list(&out, "checks", r.Checks, "")
	out.WriteString("}\n")
	return out.Bytes()
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
// record is of a newer mahlstick, or not ours.
func Parse(data []byte) (*Record, error) {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	var r Record
	if err := d.Decode(&r); err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", RecordName, err)
	}
	return &r, nil
}
