package channel

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// The headers of a signed message.
const (
	// HeaderTimestamp holds when it was signed, in seconds since 1970-01-01T00:00:00Z.
	HeaderTimestamp = "Plumbrule-Timestamp"
	// HeaderSignature holds "v1=" and the signature as 64 hexadecimal digits.
	HeaderSignature = "Plumbrule-Signature"
)

const signatureVersion = "v1="

// Errors of [Verify].
var (
	ErrUnsigned  = errors.New("no signature, expected the headers " + HeaderTimestamp + " and " + HeaderSignature)
	ErrSignature = errors.New("the signature is not that of this body, this timestamp and this secret")
	ErrStale     = errors.New("the timestamp is too far from now")
)

// Sign adds the two headers. The signature is HMAC-SHA256 (RFC 2104, FIPS 180-4), keyed with the secret's bytes, over the
// timestamp as it stands in its header, a full stop, and the body's bytes. In a shell:
//
//	printf '%s.' "$timestamp" | cat - body.json | openssl dgst -sha256 -hmac "$secret"
func Sign(header http.Header, secret Secret, body []byte, now time.Time) {
	timestamp := strconv.FormatInt(now.Unix(), 10)
	header.Set(HeaderTimestamp, timestamp)
	header.Set(HeaderSignature, signatureVersion+hex.EncodeToString(signature(secret, timestamp, body)))
}

// Verify is for receivers. It reports whether the body was signed with the secret, and not longer than tolerance before or after
// now: a message that somebody has recorded cannot be played back later than that. Within the tolerance a message
// may come twice and is known by its Idempotency-Key, which is the id in the body. The comparison takes the same time
// wherever the first difference is.
func Verify(header http.Header, secret Secret, body []byte, now time.Time, tolerance time.Duration) error {
	timestamp := header.Get(HeaderTimestamp)
	given, ok := strings.CutPrefix(header.Get(HeaderSignature), signatureVersion)
	if timestamp == "" || !ok {
		return ErrUnsigned
	}
	sum, err := hex.DecodeString(given)
	if err != nil || !hmac.Equal(sum, signature(secret, timestamp, body)) {
		return ErrSignature
	}
	seconds, err := strconv.ParseInt(timestamp, 10, 64)
	if err != nil {
		return ErrSignature
	}
	if age := now.Sub(time.Unix(seconds, 0)); age.Abs() > tolerance {
		return fmt.Errorf("%w: %s off, at most %s allowed", ErrStale, age, tolerance)
	}
	return nil
}

func signature(secret Secret, timestamp string, body []byte) []byte {
	mac := hmac.New(sha256.New, []byte(secret))
	mac.Write([]byte(timestamp + "."))
	mac.Write(body)
	return mac.Sum(nil)
}
