package records

import (
	"fmt"
	"regexp"
	"strings"

	"plumbrule/records/quantity"
)

// Drop says what a file dropped into the inbox is, by its name.
type Drop struct {
	Name string // pattern of file names, see Match

	Device, Artifact, Procedure, By string // as in the check; empty where the name tells
	Unit                            string // of the scan's numbers; empty: the site's
	Compensated                     bool
	Conditions                      Conditions
	Paths                           []FeaturePath
	Line                            int
}

// FeaturePath is the path travelled while measuring one feature.
type FeaturePath struct {
	Feature string
	Path    quantity.Length
}

// Match reports whether a file name, without folders, is one of these drops,
// and returns what then is known of it: the drop with what the name tells put
// in. In a pattern * stands for any text, ? for one character, and {device},
// {artifact} or {by} for an id, which is read from there.
func (d *Drop) Match(name string) (Drop, bool) {
	out := *d
	expression, fault := d.expression()
	if fault != "" {
		return out, false
	}
	found := expression.FindStringSubmatch(name)
	if found == nil {
		return out, false
	}
	for i, key := range expression.SubexpNames() {
		switch key {
		case "device":
			out.Device = found[i]
		case "artifact":
			out.Artifact = found[i]
		case "by":
			out.By = found[i]
		}
	}
	return out, true
}

// idExpression is what [goodID] accepts, but for the length.
const idExpression = `[A-Za-z0-9](?:[A-Za-z0-9._-]*[A-Za-z0-9])?`

// expression turns the pattern into a regular expression, or says why it cannot
// be one. A name must not be readable in two ways: behind what is read from it,
// up to the next thing that varies, stands a character that no id has.
func (d *Drop) expression() (expression *regexp.Regexp, fault string) {
	var b strings.Builder
	b.WriteString(`^(?s:`)
	seen := map[string]bool{}
	varies, apart := "", true // what varied last, and whether an id could not reach from there to here
	next := func(what string) {
		if fault == "" && !apart && (varies[0] == '{' || what[0] == '{') {
			fault = fmt.Sprintf("nothing tells where %s ends and %s begins", varies, what)
		}
		varies, apart = what, false
	}
	for rest := d.Name; rest != ""; {
		size := 1
		switch rest[0] {
		case '*':
			next("*")
			b.WriteString(`.*`)
		case '?':
			b.WriteString(`.`)
		case '{':
			end := strings.IndexByte(rest, '}')
			key := rest[1:max(end, 1)]
			if key != "device" && key != "artifact" && key != "by" || seen[key] {
				return nil, fmt.Sprintf("%q is none of {device}, {artifact} and {by}, each once", rest[:max(end+1, 1)])
			}
			seen[key], size = true, end+1
			next(rest[:size])
			fmt.Fprintf(&b, `(?P<%s>%s)`, key, idExpression)
		default:
			apart = apart || !strings.ContainsAny(rest[:1], "-_.") && !isAlphanumeric(rest[0])
			b.WriteString(regexp.QuoteMeta(rest[:1]))
		}
		rest = rest[size:]
	}
	if strings.ContainsAny(d.Name, `/\`) {
		fault = "it has a folder in it"
	}
	if fault != "" {
		return nil, fault
	}
	b.WriteString(`)$`)
	expression, err := regexp.Compile(b.String())
	if err != nil {
		return nil, "it is not UTF-8"
	}
	return expression, ""
}

func isAlphanumeric(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9'
}

// Reads reports whether the name tells the value of the key, such as "device".
func (d *Drop) Reads(key string) bool { return strings.Contains(d.Name, "{"+key+"}") }
