package proof

import (
	"fmt"
	"strings"
)

// Text is how a controller wants the text of a program.
type Text struct {
	Longest  int  // characters of a line; 0 for MaxLine
	HeadOnly bool // comments before the first word only
	Numbered bool // each line with a word begins with N
	// End and Pause are the M words that end a program and that wait.
	End, Pause int
}

// asReads requires the text that the controller wants.
func asReads(p *Path, lim *Limits) *verdict {
	if lim.Text == nil {
		return nil
	}
	t := lim.Text
	longest := t.Longest
	if longest == 0 {
		longest = MaxLine
	}
	allowed := []string{fmt.Sprintf("at most %d characters a line", longest), fmt.Sprintf("M%d to pause", t.Pause), fmt.Sprintf("M%d at the end", t.End)}
	c := &verdict{name: AsReads, kept: fmt.Sprintf("at most %d characters a line", p.Longest),
		why: "a controller stops at a line that it cannot take in, or runs through a pause that it does not know"}
	if p.Longest > longest {
		c.breaks(p.LongestAt, "%d characters", p.Longest)
	}
	if t.HeadOnly {
		allowed = append(allowed, "comments in the head only")
		for _, k := range p.Comments {
			if p.FirstWord > 0 && k.Line >= p.FirstWord {
				c.breaks(k.Line, "a comment")
			}
		}
	}
	if t.Numbered {
		allowed = append(allowed, "numbered blocks")
		if p.Unnumbered > 0 {
			c.breaks(p.Unnumbered, "a block without a number")
		}
	}
	for _, w := range p.Words {
		if w.Letter != 'M' {
			continue
		}
		switch n := int(w.Value); n {
		case 0, 1, 60:
			if n != t.Pause {
				c.breaks(w.Line, "%v to pause", w)
			}
		case 2, 30:
			if n != t.End {
				c.breaks(w.Line, "%v at the end", w)
			}
		}
	}
	c.allowed = strings.Join(allowed, ", ")
	return c
}

// remark is a comment with the lines that go on it.
type remark struct {
	text string // without blanks at its ends
	line int
}

// remarks are the comments. One that begins with "- " goes on the one on the line
// before it, as the programs of this project break long ones.
func remarks(p *Path) []remark {
	var out []remark
	for i, c := range p.Comments {
		text := strings.TrimSpace(c.Text)
		if rest, ok := strings.CutPrefix(text, "- "); ok && i > 0 && c.Line == p.Comments[i-1].Line+1 {
			out[len(out)-1].text += " " + rest
			continue
		}
		out = append(out, remark{text, c.Line})
	}
	return out
}
