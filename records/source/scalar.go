package source

import "strings"

// scalar reads true, false, a number or a date: everything that is neither
// quoted nor bracketed ends at the same delimiters.
func (p *Parser) scalar() (Kind, bool) {
	start := p.pos
	end := start
	for end < len(p.text) && !endsScalar(p.text[end]) {
		end++
	}
	token := p.text[start:end]
	switch {
	case token == "":
		return None, p.failNoValue()
	case token == "true", token == "false":
		p.pos = end
		return Bool, true
	case startsDate(token):
		if len(token) == len("2006-01-02") && strings.HasPrefix(p.text[end:], " ") && startsTime(p.text[end+1:]) {
			for end++; end < len(p.text) && !endsScalar(p.text[end]); end++ {
			}
		}
		return p.date(start, end)
	}
	kind, wrong := numberKind(token)
	if wrong != nil {
		return None, p.failToken(start, token, wrong)
	}
	p.pos = end
	return kind, true
}

func (p *Parser) date(start, end int) (Kind, bool) {
	c, wrong := parseCivil(p.text[start:end])
	if wrong != nil {
		if wrong.toml11 {
			return None, p.fail11(start, wrong.what, wrong.mend)
		}
		return None, p.fail(start, wrong.what, wrong.mend)
	}
	p.pos = end
	return c.kind, true
}

// endsScalar reports the bytes that cannot belong to an unquoted value.
func endsScalar(c byte) bool {
	switch c {
	case ' ', '\t', '\n', '\r', ',', ']', '}', '#':
		return true
	}
	return isControl(c)
}
