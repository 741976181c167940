package history

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// Signature is what git and the keys configured on this machine say of a commit's
// signature.
type Signature struct {
	State  SignatureState
	Signer string // as the key names its owner
	Key    string
}

// SignatureState is what came of verifying a signature.
type SignatureState string

// What can come of verifying a signature.
const (
	Unsigned     SignatureState = "unsigned"
	Good         SignatureState = "good"
	Untrusted    SignatureState = "good, by a key whose owner is not vouched for"
	ExpiredLater SignatureState = "good, and expired since"
	KeyExpired   SignatureState = "good, by a key that has expired since"
	Revoked      SignatureState = "good, by a key that was revoked"
	Bad          SignatureState = "bad: the commit is not what was signed"
	Unverifiable SignatureState = "not to be verified here: the key or the program is missing"
	Unread       SignatureState = "not to be verified here: the program stops before it has read the commit"
)

// signatureState reads git's letter.
func signatureState(letter string) SignatureState {
	switch letter {
	case "N":
		return Unsigned
	case "G":
		return Good
	case "U":
		return Untrusted
	case "X":
		return ExpiredLater
	case "Y":
		return KeyExpired
	case "R":
		return Revoked
	case "B":
		return Bad
	}
	return Unverifiable
}

// Signatures verifies the signatures of commits, by their whole hashes. A program is
// run for each that is signed.
func (r *Repository) Signatures(ctx context.Context, ids []string) (map[string]Signature, error) {
	out := make(map[string]Signature, len(ids))
	if len(ids) == 0 {
		return out, nil
	}
	err := r.verify(ctx, ids, out)
	if errors.Is(err, ErrEnded) && ctx.Err() == nil {
		err = r.verifyEach(ctx, ids, out)
	}
	if err != nil {
		return nil, err
	}
	return out, r.signedAllTheSame(ctx, out)
}

// verify asks git about commits and writes down what it says.
func (r *Repository) verify(ctx context.Context, ids []string, out map[string]Signature) error {
	const fields = 4
	text, err := r.output(ctx, strings.Join(ids, "\n")+"\n", "log", "--no-walk=unsorted", "--stdin", "--no-patch", "-z", "--format=%H%x00%G?%x00%GS%x00%GK")
	if err != nil {
		return err
	}
	list := strings.Split(strings.TrimSuffix(string(text), "\x00"), "\x00")
	for i := 0; i+fields <= len(list); i += fields {
		if !isHash(list[i]) {
			return fmt.Errorf("git log printed %q, expected a commit", list[i])
		}
		out[list[i]] = Signature{State: signatureState(list[i+1]), Signer: list[i+2], Key: list[i+3]}
	}
	return nil
}

// verifyEach asks about one commit after the other. A program that finds a
// signature malformed may end before it has read the commit, and git, which is just
// writing it to that program, may end with it: one forged signature must not hide
// what is known of the others. Whether git ends is a matter of moments, so it is
// asked again.
func (r *Repository) verifyEach(ctx context.Context, ids []string, out map[string]Signature) error {
	const tries = 20
	for _, id := range ids {
		for try := 0; ; try++ {
			err := r.verify(ctx, []string{id}, out)
			if err == nil {
				break
			}
			if !errors.Is(err, ErrEnded) || ctx.Err() != nil {
				return err
			}
			if try == tries {
				out[id] = Signature{State: Unread}
				break
			}
		}
	}
	return nil
}

// signedAllTheSame corrects what git says of a commit that has a signature where
// no keys are configured: that it has none.
func (r *Repository) signedAllTheSame(ctx context.Context, all map[string]Signature) error {
	var ask strings.Builder
	for id, s := range all {
		if s.State == Unsigned {
			ask.WriteString(id + "\n")
		}
	}
	return r.heads(ctx, ask.String(), func(id, head string) {
		if strings.Contains(head, "\ngpgsig") {
			all[id] = Signature{State: Unverifiable}
		}
	})
}

// heads reads the heads of commits as they are stored, of which one hash a line is
// asked.
func (r *Repository) heads(ctx context.Context, ask string, tell func(id, head string)) error {
	out, err := r.output(ctx, ask, "cat-file", "--batch", "--buffer")
	if err != nil {
		return err
	}
	for text := string(out); text != ""; {
		line, rest, _ := strings.Cut(text, "\n")
		id, about, _ := strings.Cut(line, " ")
		size, err := strconv.Atoi(strings.TrimPrefix(about, "commit "))
		if err != nil || size < 0 || size >= len(rest) {
			return fmt.Errorf("git cat-file printed %q, expected hash, commit and size", line)
		}
		head, _, _ := strings.Cut(rest[:size], "\n\n")
		tell(id, head)
		text = rest[size+1:]
	}
	return nil
}
