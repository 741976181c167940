package source

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// The messages here are written for the mistakes that people make.

// quoteToken quotes a piece of the user's text for a message, cut when long.
func quoteToken(token string) string {
	const longest = 40
	if len(token) > longest {
		end := longest
		for end > 0 && !utf8.RuneStart(token[end]) {
			end--
		}
		token = token[:end] + "…"
	}
	return strconv.Quote(token)
}

func (p *Parser) atLineEnd() bool { return p.pos == len(p.text) || p.lineBreakAt(p.pos) }

func (p *Parser) failKey() bool {
	switch c := p.peek(); {
	case p.atLineEnd():
		return p.fail(p.pos, "the line ends where a key was expected", "complete the line: key = value")
	case c == '=':
		return p.fail(p.pos, "no key before the equals sign", "write key = value")
	case c == '.':
		return p.fail(p.pos, "a dot where a key was expected", "write one dot between two keys")
	case c == ']':
		return p.fail(p.pos, "no table name between the brackets", "write [name]")
	case c >= utf8.RuneSelf:
		return p.fail(p.pos, "a bare key has only the letters A-Z and a-z, digits, - and _",
			"put the key in straight double quotes")
	}
	return p.fail(p.pos, quoteToken(p.text[p.pos:p.pos+1])+" where a key was expected", "write key = value")
}

func (p *Parser) failAfterKey() bool {
	switch c := p.peek(); {
	case p.atLineEnd():
		return p.fail(p.pos, "the line ends behind the key", "complete the line: key = value")
	case c == ':':
		return p.fail(p.pos, "a colon behind the key where = was expected", "write key = value")
	case c >= utf8.RuneSelf:
		return p.failKey()
	}
	return p.fail(p.pos, "unexpected "+p.nextRune()+" behind the key where = was expected",
		"write key = value; quote a key that has blanks")
}

func (p *Parser) nextRune() string {
	_, size := utf8.DecodeRuneInString(p.text[p.pos:])
	return quoteToken(p.text[p.pos : p.pos+size])
}

func (p *Parser) failHeader(many bool) bool {
	closing := "]"
	if many {
		closing = "]]"
	}
	if p.atLineEnd() {
		return p.fail(p.pos, "the line ends inside a table header", "close the header with "+closing)
	}
	return p.fail(p.pos, "unexpected "+p.nextRune()+" in a table header where "+closing+" was expected",
		"close the header with "+closing)
}

func (p *Parser) failNoValue() bool {
	if p.atLineEnd() || p.peek() == '#' {
		return p.fail(p.pos, "the line ends where a value was expected", "write the value behind the equals sign")
	}
	return p.fail(p.pos, quoteToken(p.text[p.pos:p.pos+1])+" where a value was expected", "write a value, or delete it")
}

func (p *Parser) failAfterValue() bool {
	if rest := p.text[p.pos:]; len(rest) > 1 && rest[0] == ',' && isDigit(rest[1]) {
		return p.fail(p.pos, "a comma in a number", "write the decimal point as a dot")
	}
	return p.fail(p.pos, "unexpected "+p.nextRune()+" behind the value where the line should end",
		"one key a line; put a value with its unit in quotes, a remark behind #")
}

func (p *Parser) failInString(open, at int) bool {
	if at < len(p.text) && !p.lineBreakAt(at) {
		return p.failControl(at)
	}
	return p.fail(open, "text without a closing "+p.text[open:open+1]+" on its line",
		"close it; text over several lines stands between three quotes")
}

func (p *Parser) failOpen(open int, what, closing string) bool {
	return p.fail(open, "the "+what+" that begins here is not closed before the end of the file", "close it with "+closing)
}

func (p *Parser) failBetween(open int, what, closing string) bool {
	if p.pos == len(p.text) {
		return p.failOpen(open, what, closing)
	}
	return p.fail(p.pos, "unexpected "+p.nextRune()+" in an "+what+" where a comma or "+closing+" was expected",
		"put a comma between the entries, or close with "+closing)
}

func (p *Parser) failEscape(i int) bool {
	end := i + 1
	if end < len(p.text) && !isControl(p.text[end]) {
		_, size := utf8.DecodeRuneInString(p.text[end:])
		end += size
	}
	mend := `write \\ for a backslash, or put the text in single quotes`
	if c := p.text[end-1]; c == 'u' || c == 'U' {
		mend = `write \u and four, or \U and eight hexadecimal digits of a character`
	}
	return p.fail(i, "unknown escape "+p.text[i:end], mend)
}

// failTwice refuses a key or table that is there already.
func (p *Parser) failTwice(i int, found uint32) bool {
	return p.failAs(DuplicateKey, int(p.path[i].start),
		quoteToken(p.partText(i))+" is given twice: first on "+p.lineOf(found), "keep one of the two")
}

// failClosed refuses to put more into what part i names.
func (p *Parser) failClosed(i int, found uint32) bool {
	return p.failAs(DuplicateKey, int(p.path[i].start),
		quoteToken(p.partText(i))+" is complete since "+p.lineOf(found)+"; nothing can be added to it here",
		"move the entry to that place")
}

func (p *Parser) lineOf(found uint32) string {
	return fmt.Sprintf("line %d", positionOf(p.text, int(p.nodes[found].keyStart)).Line)
}

// failToken refuses an unquoted value.
func (p *Parser) failToken(start int, token string, wrong *flaw) bool {
	for i := range len(token) {
		if isControl(token[i]) {
			return p.failControl(start + i)
		}
	}
	return p.fail(start, wrong.what, wrong.mend)
}

// notNumber says what an unquoted value that is no number may have been meant
// to be.
func notNumber(token, body string) *flaw {
	wrong := &flaw{what: quoteToken(token) + " is no value"}
	switch lower := strings.ToLower(token); {
	case lower == "true" || lower == "false" || lower == "inf" || lower == "nan":
		wrong.mend = "write it in lower case: " + lower
	case lower == "yes" || lower == "no" || lower == "on" || lower == "off":
		wrong.mend = "write true or false, or put text in double quotes"
	case strings.ContainsAny(token, "“”„‟«»‘’"):
		wrong.mend = `use straight quotes: "…"`
	case body != "" && body[0] == '.':
		wrong.mend = "write a digit before the decimal point"
	case strings.HasSuffix(body, ".") && isDigit(body[0]):
		wrong.mend = "write a digit behind the decimal point, or leave the point out"
	case isDigit(token[0]) && (strings.Count(body, ".") == 2 || strings.ContainsAny(body, ":-/")):
		wrong.mend = "write dates like 2026-10-05, times like 08:12:00; put other text in double quotes"
	case strings.HasSuffix(body, "_") || strings.HasPrefix(body, "_") || strings.Contains(body, "__"):
		wrong.mend = "write an underscore only between two digits"
	default:
		wrong.mend = "put text in double quotes, a number with its unit too"
	}
	return wrong
}
