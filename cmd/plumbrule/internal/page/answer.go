package page

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"strconv"
	"strings"
)

// answer is a body that is ready to be sent, plain and packed, with what tells it from another.
type answer struct {
	status       int
	kind         string // media type
	policy       string // content policy in place of the usual one; empty: the usual one
	body, packed []byte // packed is empty where it would not be smaller
	tag          string
}

// newAnswer packs a body.
func newAnswer(kind string, body []byte) *answer {
	sum := sha256.Sum256(body)
	a := &answer{status: http.StatusOK, kind: kind, body: body, tag: `W/"` + hex.EncodeToString(sum[:8]) + `"`}
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, gzip.BestSpeed)
	if err != nil {
		return a
	}
	if _, err := w.Write(body); err != nil || w.Close() != nil {
		return a
	}
	if out.Len() < len(body) {
		a.packed = out.Bytes()
	}
	return a
}

// size is what the answer takes in memory.
func (a *answer) size() int {
	if a == nil {
		return 0
	}
	return len(a.body) + len(a.packed)
}

// ServeHTTP sends the answer, or only that the reader has it already (RFC 9110, 13.1.2).
func (a *answer) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Type", a.kind)
	h.Set("Cache-Control", "private, no-cache")
	h.Add("Vary", "Accept-Encoding")
	if a.policy != "" {
		h.Set("Content-Security-Policy", a.policy)
	}
	if a.status == http.StatusOK {
		h.Set("ETag", a.tag)
		if known(r.Header.Get("If-None-Match"), a.tag) {
			w.WriteHeader(http.StatusNotModified)
			return
		}
	}
	body := a.body
	if len(a.packed) > 0 && takesGzip(r.Header.Get("Accept-Encoding")) {
		h.Set("Content-Encoding", "gzip")
		body = a.packed
	}
	h.Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(a.status)
	_, _ = w.Write(body) // a reader who has gone needs nothing, and to HEAD the library sends no body
}

// known tells whether a list of tags holds this one, by the weak comparison.
func known(list, tag string) bool {
	for one := range strings.SplitSeq(list, ",") {
		one = strings.TrimSpace(one)
		if one == "*" || strings.TrimPrefix(one, "W/") == strings.TrimPrefix(tag, "W/") {
			return true
		}
	}
	return false
}

// takesGzip reads the header Accept-Encoding (RFC 9110, 12.5.3).
func takesGzip(accepted string) bool {
	for one := range strings.SplitSeq(accepted, ",") {
		name, quality, _ := strings.Cut(one, ";")
		if strings.EqualFold(strings.TrimSpace(name), "gzip") {
			weight, given := strings.CutPrefix(strings.TrimSpace(quality), "q=")
			q, err := strconv.ParseFloat(weight, 64)
			return !given || err == nil && q > 0
		}
	}
	return false
}
